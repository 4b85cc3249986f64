//! The program: arguments in, one function a command, exit code out.
//!
//! Exit codes, decided here and nowhere else:
//!
//! | code | meaning |
//! |---:|---|
//! | 0 | everything fits; what was asked for is done |
//! | 1 | something clashes; `build` has written nothing |
//! | 2 | the input is wrong, something is still to be measured, or a file can't be read or written |
//! | 3 | `check`: nothing clashes, but something is too close to call |

mod address;
mod aim;
mod arguments;
mod ask;
mod bench;
mod book;
mod build;
mod changes;
mod check;
mod complain;
mod complete;
mod coupon;
mod diff;
mod done;
mod enter;
mod family;
mod handover;
mod inspect;
mod label;
mod needs;
mod new;
mod outcome;
mod parts;
mod picture;
mod profile;
mod progress;
mod read;
mod say;
mod sheet;
mod shelf;
mod stands;
mod table;
mod take;
mod teach;
mod tell;
mod tree;
mod tried;
mod want;
mod watch;
mod wind;
mod wound;

use std::process::ExitCode;

use arguments::{Arguments, Command};
use clap::Parser;

fn main() -> ExitCode {
    let outcome = match Arguments::parse_from(arguments::typed()).command {
        Command::New(options) => new::run(&options),
        Command::Read(options) => read::run(&options),
        Command::Withdraw(options) => read::withdraw(&options),
        Command::Tool(options) => read::tool(&options),
        Command::Sheet(options) => sheet::run(&options),
        Command::Check(options) => check::run(&options),
        Command::Build(options) => build::run(&options),
        Command::Coupon(options) => coupon::run(&options),
        Command::Printed(options) => parts::printed(&options),
        Command::Parts(options) => parts::run(&options),
        Command::Tried(options) => tried::run(&options),
        Command::Inspect(options) => inspect::run(&options),
        Command::Stands(options) => stands::run(&options),
        Command::Done(options) => done::run(&options),
        Command::Label(options) => label::run(&options),
        Command::Needs(options) => needs::run(&options),
        Command::Handover(options) => handover::run(&options),
        Command::Take(options) => take::run(&options),
        Command::Bench(options) => bench::run(&options),
        Command::Want(options) => want::run(&options),
        Command::Wind(options) => wind::run(&options),
        Command::Wound(options) => wound::run(&options),
        Command::Aim(options) => aim::run(&options),
        Command::Tested(options) => wound::tested(&options),
        Command::Meter(options) => wound::meter(&options),
        Command::Thermometer(options) => wound::thermometer(&options),
        Command::Spool(options) => wound::spool(&options),
        Command::Diff(options) => diff::run(&options),
        Command::Tree(options) => tree::run(&options),
        Command::Picture(options) => picture::run(&options),
        Command::Completions(options) => complete::run(&options),
    };
    ExitCode::from(outcome.code())
}
