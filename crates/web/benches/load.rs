//! A clinic of 10,000 people and two million practice entries, 20 clinicians clicking: how long each page takes.
//!
//! `cargo bench -p web --no-default-features --bench load -- [people] [entries of each] [runs]`. The records are
//! made once and kept beside the build; each run works on a copy. The server is this program, started
//! again as `footrose serve` starts it; the variable `FOOTROSE` names another, such as the whole program.

#[path = "../tests/load/mod.rs"]
mod load;

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use clinic::{Clinic, First, Opening};
use load::clicks::{self, Mix};
use load::client::Browser;
use load::figures::{Figures, Spread, median};
use load::invented::{self, FIRST, PASSPHRASE, Size};

/// The word that makes this program the server.
const SERVE: &str = "serve";

fn runtime() -> tokio::runtime::Runtime {
    web::runtime().expect("a runtime")
}

/// What `footrose serve --records FILE` does.
fn serve(path: &Path) {
    runtime().block_on(async {
        let clinic = Clinic::open(path, Opening::usual()).await.expect("the records open");
        let served = web::serve(web::ServeOptions { clinic, port: 0, network: None }).await.expect("a port");
        println!("Open {} in a browser", served.address());
        served.run(std::future::pending()).await.expect("served");
    });
}

/// A server in a process of its own; ended when this is dropped.
struct Server {
    process: Child,
    host: String,
    began: Instant,
}

impl Server {
    fn start(path: &Path) -> Self {
        let began = Instant::now();
        let mut command = match std::env::var_os("FOOTROSE") {
            Some(program) => {
                let mut command = Command::new(program);
                command.args([SERVE, "--records"]).arg(path).args(["--port", "0"]);
                command
            }
            None => {
                let mut command = Command::new(std::env::current_exe().expect("this program"));
                command.arg(SERVE).arg(path);
                command.env(web::HEAPS.0, web::HEAPS.1);
                command
            }
        };
        let mut process = command.stdout(Stdio::piped()).spawn().expect("a server");
        let out = BufReader::new(process.stdout.take().expect("what it says"));
        let mut lines = out.lines().map(|line| line.expect("text"));
        let line = lines.find(|line| line.contains("http://")).expect("an address");
        let host = line.split("http://").nth(1).and_then(|rest| rest.split('/').next());
        Self { process, host: host.expect("a host").to_owned(), began }
    }

    /// A line of `/proc/PID/status`, in MiB.
    fn memory(&self, name: &str) -> f64 {
        let status =
            std::fs::read_to_string(format!("/proc/{}/status", self.process.id())).unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix(name)).unwrap_or_default();
        let kib = line.split_whitespace().next().and_then(|word| word.parse::<f64>().ok());
        kib.map_or(f64::NAN, |kib| kib / 1024.0)
    }

    /// Processor time so far, in seconds, of a clock of 100 ticks a second.
    fn processor(&self) -> f64 {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.process.id())).unwrap_or_default();
        let after = stat.rsplit(") ").next().unwrap_or_default();
        after.split(' ').skip(11).take(2).filter_map(|word| word.parse::<f64>().ok()).sum::<f64>() / 100.0
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // A server that ended by itself is what the run would have shown.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// The kept records of this size, made if they are not there.
fn records(size: Size) -> PathBuf {
    let program = std::env::current_exe().expect("this program");
    let build = program.ancestors().nth(3).expect("the folder of the build").join("load");
    std::fs::create_dir_all(&build).expect("a folder");
    let path = build.join(format!("{}-{}-{}.footrose", size.people, size.logs, size.seed));
    if path.exists() {
        return path;
    }
    let making = path.with_extension("making");
    for end in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(format!("{}{end}", making.display()));
    }
    let begun = Instant::now();
    runtime().block_on(async {
        let first = First { name: FIRST, passphrase: PASSPHRASE };
        let (clinic, desk, _) = Clinic::create(&making, Opening::usual(), first).await.expect("created");
        let say = |done: usize| {
            if done.is_multiple_of(1000) {
                println!("  {done} people after {:.0} s", begun.elapsed().as_secs_f64());
            }
        };
        invented::fill(&desk, size, say).await;
        clinic.close().await.expect("closed");
    });
    std::fs::rename(&making, &path).expect("in its place");
    path
}

/// What one run showed, beside the times of its pages.
struct Run {
    figures: [Figures; 2],
    single: Vec<(&'static str, f64)>,
}

fn ms(took: Duration) -> f64 {
    took.as_secs_f64() * 1000.0
}

/// Starts the server, signs everybody in, and lets them click: first without tabs that compute, then with.
fn run(path: &Path, size: Size, last: Duration) -> Run {
    let mut single = Vec::new();
    let server = Server::start(path);
    let mut browser = Browser::new(&server.host);
    browser.get("/sign-in");
    single.push(("start to the first page, ms", ms(server.began.elapsed())));
    single.push(("memory before anybody signed in, MiB", server.memory("VmRSS:")));
    let begun = Instant::now();
    browser.sign_in(FIRST, PASSPHRASE);
    single.push(("first sign-in, ms", ms(begun.elapsed())));
    let begun = Instant::now();
    let mut page = browser.get("/");
    single.push(("first Today after it, ms", ms(page.took)));
    while page.body.contains("data-reading") {
        std::thread::sleep(Duration::from_millis(100));
        page = browser.get("/");
    }
    single.push(("until Today has read everybody, ms", ms(begun.elapsed())));
    single.push(("Today, kB", page.body.len() as f64 / 1000.0));
    single.push(("file of style, kB", browser.get(clicks::PEER).body.len() as f64 / 1000.0));
    let begun = Instant::now();
    clicks::signed_in(&server.host, 1);
    single.push(("second sign-in, ms", ms(begun.elapsed())));
    let think = Duration::from_millis(500);
    let figures = [("reading and logging", 0), ("with tabs that compute", 25)].map(|(what, compute)| {
        let used = server.processor();
        let begun = Instant::now();
        let all = clicks::click(&server.host, size, Mix { last, think, compute }, "2026-01-20");
        let share = (server.processor() - used) / begun.elapsed().as_secs_f64();
        println!(
            "  {what}: the server used {share:.2} of a core; memory at most {:.0} MiB",
            server.memory("VmHWM:")
        );
        all
    });
    single.push(("memory at the end, MiB", server.memory("VmRSS:")));
    single.push(("memory at most, MiB", server.memory("VmHWM:")));
    Run { figures, single }
}

fn told(runs: &[Run]) {
    for place in 0..runs[0].single.len() {
        let all: Vec<f64> = runs.iter().map(|run| run.single[place].1).collect();
        println!("{:<42} {:>9.1}   of {all:.1?}", runs[0].single[place].0, median(&all));
    }
    for (phase, title) in ["Reading and logging", "With tabs that compute"].iter().enumerate() {
        println!("\n{title}; milliseconds, medians of {} runs", runs.len());
        println!(
            "{:<28} {:>6} {:>9} {:>9} {:>9} {:>9}  95 of 100, beside the file",
            "", "asked", "p50", "p95", "p99", "worst"
        );
        let spreads: Vec<Vec<(&str, Spread)>> = runs.iter().map(|run| run.figures[phase].all()).collect();
        let of = |what: &str, part: &dyn Fn(&Spread) -> f64| {
            let all: Vec<f64> = spreads
                .iter()
                .filter_map(|run| {
                    run.iter().find(|(known, _)| *known == what).map(|(_, spread)| part(spread))
                })
                .collect();
            median(&all)
        };
        let peer = of("A file of style", &|s| s.p95);
        for (what, _) in &spreads[0] {
            println!(
                "{what:<28} {:>6.0} {:>9.1} {:>9.1} {:>9.1} {:>9.1}  {:.1}",
                of(what, &|s| s.count as f64),
                of(what, &|s| s.p50),
                of(what, &|s| s.p95),
                of(what, &|s| s.p99),
                of(what, &|s| s.worst),
                of(what, &|s| s.p95) / peer
            );
        }
    }
}

fn main() {
    // `cargo bench` adds `--bench`.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    if let [word, path] = words.as_slice()
        && word == SERVE
    {
        return serve(Path::new(path));
    }
    let number =
        |at: usize, usual: usize| words.get(at).map_or(usual, |word| word.parse().expect("a number"));
    let size = Size {
        people: number(0, 10_000),
        logs: number(1, 200),
        clinicians: 20,
        silent_days: 12,
        seed: 1,
        programmes: true,
    };
    let (runs, seconds) = (number(2, 3).max(1), number(3, 60));
    let kept = records(size);
    println!(
        "{} people, {} entries of each; {:.0} MB",
        size.people,
        size.logs,
        std::fs::metadata(&kept).expect("there").len() as f64 / 1e6
    );
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    println!("load of the machine before: {}", load.trim());
    let copy = kept.with_extension("copy");
    let all: Vec<Run> = (1..=runs)
        .map(|number| {
            println!("run {number} of {runs}");
            std::fs::copy(&kept, &copy).expect("a copy");
            // What the copy left to be written must not slow the writes that are measured.
            std::fs::File::open(&copy).and_then(|file| file.sync_all()).expect("on the disk");
            let run = run(&copy, size, Duration::from_secs(seconds as u64));
            for end in ["", "-wal", "-shm"] {
                let _ = std::fs::remove_file(format!("{}{end}", copy.display()));
            }
            run
        })
        .collect();
    told(&all);
}
