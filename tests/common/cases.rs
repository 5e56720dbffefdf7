//! How many cases a property takes: its own number, or what `PROPTEST_CASES` asks for, which a number written into a
//! configuration would silence.

use proptest::test_runner::Config;

/// The usual configuration with so many cases, or as many as are asked for.
pub fn cases(own: u32) -> Config {
    let usual = Config::default();
    let cases = if std::env::var_os("PROPTEST_CASES").is_some() { usual.cases } else { own };
    Config { cases, ..usual }
}
