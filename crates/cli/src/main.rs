//! The same use cases from a terminal.

#![forbid(unsafe_code)]

mod adapt;
mod agreement;
mod args;
mod end;
mod folder;
mod input;
mod letter;
mod log;
mod measures;
mod page;
mod practice;
mod run;
mod say;
mod serve;
mod sheet;
mod terminal;
mod validate;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let args = args::Args::parse();
    match run::run(&args) {
        Ok(end) => end.code(),
        Err(failure) => {
            failure.tell(args.json());
            failure.code()
        }
    }
}
