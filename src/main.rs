//! The program: a thin shell over the library.

fn main() -> std::process::ExitCode {
    airlath::cli::run()
}
