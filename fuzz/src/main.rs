//! The program, with this crate's limit on memory, or the one that `AIRLATH_FUZZ_BYTES` states.

use std::process::ExitCode;

use airlath_fuzz::MEMORY;

fn main() -> ExitCode {
    if let Ok(bytes) = std::env::var("AIRLATH_FUZZ_BYTES") {
        let bytes = bytes.parse().expect("a number of bytes");
        MEMORY.set_limit(bytes).expect("more than is in use");
    }
    airlath::cli::run()
}
