//! The same use cases from a terminal.

#![forbid(unsafe_code)]

mod agreement;
mod args;
mod end;
mod folder;
mod input;
mod letter;
mod measures;
mod run;
mod say;
mod serve;
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
