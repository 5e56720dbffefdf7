//! Numbers as builders write them: `12`, `.5`, `3/8`, `11 7/8`, `11-7/8`, `6½`.
//!
//! Aim: turn such a text into an exact ratio of whole numbers.
//! Reason: a decimal or a 64th must not pick up binary rounding before it is
//! summed. Limits: a written number stays below a thousand million; decimals
//! past the fifteenth are dropped, being less than a millionth of a nanometre.

use super::error::{QuantityError, quoted};

/// Written numbers above this are refused: even in millimetres it is 1000 km.
const LARGEST_WRITTEN: i128 = 1_000_000_000;

/// Decimals that are kept; a digit after them is worth less than 1e-15 m.
const KEPT_DECIMALS: usize = 15;

/// A ratio that is never negative; `den` is above zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ratio {
    pub(super) num: i128,
    pub(super) den: i128,
}

impl Ratio {
    /// The nearest floating-point number.
    #[allow(clippy::cast_precision_loss, reason = "this is the one place where a written number becomes an f64")]
    pub(super) fn to_f64(self) -> f64 {
        self.num as f64 / self.den as f64
    }

    /// True when nothing is left behind the point.
    pub(super) fn is_whole(self) -> bool {
        self.num % self.den == 0
    }
}

/// One piece of a written quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Piece {
    /// `12`, `.5`, `0.148`; `plain` when written without a point.
    Number { value: Ratio, plain: bool },
    /// A fraction in one character, such as `½`.
    Vulgar(Ratio),
    /// `/`
    Slash,
    /// `-`
    Minus,
    /// `'`
    Prime,
    /// `"`
    DoublePrime,
    /// A run of letters, in lower case.
    Word(String),
}

/// A piece, and whether a blank stands before it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Token {
    pub(super) piece: Piece,
    pub(super) gap: bool,
}

/// Reads the pieces of one text from left to right.
pub(super) struct Reader<'a> {
    text: &'a str,
    tokens: Vec<Token>,
    at: usize,
}

impl<'a> Reader<'a> {
    /// Cuts `text` into pieces.
    ///
    /// # Errors
    /// A character that has no place in a quantity, or a number too long to read.
    pub(super) fn new(text: &'a str) -> Result<Self, QuantityError> {
        Ok(Self { text, tokens: cut(text)?, at: 0 })
    }

    /// The next piece, left in place.
    pub(super) fn peek(&self) -> Option<&Piece> {
        self.peek_at(0).map(|t| &t.piece)
    }

    fn peek_at(&self, ahead: usize) -> Option<&Token> {
        self.tokens.get(self.at + ahead)
    }

    /// Takes the next piece.
    pub(super) fn take(&mut self) -> Option<Piece> {
        let piece = self.tokens.get(self.at)?.piece.clone();
        self.at += 1;
        Some(piece)
    }

    /// Takes a minus sign that stands in front of the whole value.
    pub(super) fn take_sign(&mut self) -> bool {
        let negative = self.peek() == Some(&Piece::Minus);
        if negative {
            self.at += 1;
        }
        negative
    }

    /// Takes the hyphen between feet and inches, where there is one. `12' -6"` is left alone: it reads
    /// like a subtraction.
    pub(super) fn take_joining_hyphen(&mut self) -> bool {
        let (Some(hyphen), Some(next)) = (self.peek_at(0), self.peek_at(1)) else {
            return false;
        };
        let joins = hyphen.piece == Piece::Minus && (next.gap || !hyphen.gap);
        self.at += usize::from(joins);
        joins
    }

    /// Takes a number: whole, decimal, fraction, or whole and fraction.
    ///
    /// # Errors
    /// No number here, a zero or missing denominator, a top-heavy fraction, or a
    /// point inside a fraction.
    pub(super) fn number(&mut self) -> Result<Ratio, QuantityError> {
        match self.take() {
            Some(Piece::Vulgar(value)) => Ok(value),
            Some(Piece::Number { value, plain }) => self.number_from(value, plain),
            Some(Piece::Word(word)) if matches!(word.as_str(), "nan" | "inf" | "infinity") => Err(QuantityError::new(
                format!("{} is not a number", quoted(self.text)),
                "write a plain number with its unit, such as 3/8 in or 10 mm",
            )),
            Some(Piece::Minus) => Err(QuantityError::new(
                format!("a minus sign is out of place in {}", quoted(self.text)),
                "put one minus sign in front of the whole value, such as -1 1/2 in",
            )),
            _ => Err(QuantityError::new(
                format!("a number is missing in {}", quoted(self.text)),
                "write the number first and then its unit, such as 3/8 in or 10 mm",
            )),
        }
    }

    fn number_from(&mut self, first: Ratio, plain: bool) -> Result<Ratio, QuantityError> {
        if self.peek() == Some(&Piece::Slash) {
            return self.fraction(first, plain);
        }
        // Whole and fraction: `11 7/8`, `11-7/8` (no blanks), `11½`, `11-½`.
        let hyphen = matches!(
            (self.peek_at(0), self.peek_at(1)),
            (Some(Token { piece: Piece::Minus, gap: false }), Some(next)) if !next.gap
        );
        let skip = usize::from(hyphen);
        let part = match self.peek_at(skip).map(|t| &t.piece) {
            Some(&Piece::Vulgar(part)) => {
                self.at += skip + 1;
                part
            }
            Some(&Piece::Number { value, plain })
                if self.peek_at(skip + 1).map(|t| &t.piece) == Some(&Piece::Slash) =>
            {
                self.at += skip + 1;
                self.fraction(value, plain)?
            }
            _ => return Ok(first),
        };
        if !plain {
            return Err(QuantityError::new(
                format!("a decimal and a fraction are mixed in {}", quoted(self.text)),
                "write either 1.5 in or 1 1/2 in",
            ));
        }
        let num = first
            .num
            .checked_mul(part.den)
            .and_then(|n| n.checked_add(part.num))
            .ok_or_else(|| too_large(self.text))?;
        Ok(Ratio { num, den: part.den })
    }

    /// The rest of a fraction whose numerator was just taken.
    fn fraction(&mut self, top: Ratio, top_plain: bool) -> Result<Ratio, QuantityError> {
        self.at += 1;
        let Some(Piece::Number { value: bottom, plain: true }) = self.take() else {
            return Err(self.bad_fraction());
        };
        if !top_plain {
            return Err(self.bad_fraction());
        }
        if bottom.num == 0 {
            return Err(QuantityError::new(
                format!("the fraction in {} divides by zero", quoted(self.text)),
                "the lower number of a fraction is 2, 4, 8, 16, 32 or 64, as in 3/8 in",
            ));
        }
        if top.num >= bottom.num {
            return Err(QuantityError::new(
                format!("the fraction {}/{} in {} is top-heavy", top.num, bottom.num, quoted(self.text)),
                "the upper number stays below the lower one; is a blank missing, as in 11 7/8 in?",
            ));
        }
        Ok(Ratio { num: top.num, den: bottom.num })
    }

    fn bad_fraction(&self) -> QuantityError {
        QuantityError::new(
            format!("the fraction in {} cannot be read", quoted(self.text)),
            "a fraction is two whole numbers and a slash, as in 3/8 in",
        )
    }
}

/// Reads a text that is one signed number and nothing else.
///
/// # Errors
/// Anything that is not one number.
pub(super) fn signed_number(part: &str) -> Result<f64, QuantityError> {
    let mut reader = Reader::new(part)?;
    let negative = reader.take_sign();
    let size = reader.number()?.to_f64();
    if reader.peek().is_some() {
        return Err(QuantityError::new(
            format!("{} cannot be read as one number", quoted(part.trim())),
            "write one number and one unit",
        ));
    }
    Ok(if negative && size > 0.0 { -size } else { size })
}

/// The error for a number beyond all use.
pub(super) fn too_large(text: &str) -> QuantityError {
    QuantityError::new(
        format!("the number in {} is too large", quoted(text)),
        "check the unit: the longest length that can be read is 100 km",
    )
}

fn vulgar(c: char) -> Option<Ratio> {
    let (num, den) = match c {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    };
    Some(Ratio { num, den })
}

fn cut(text: &str) -> Result<Vec<Token>, QuantityError> {
    let mut tokens = Vec::new();
    let mut rest = text;
    let mut gap = false;
    while let Some(c) = rest.chars().next() {
        let after = rest.get(c.len_utf8()..).unwrap_or_default();
        if c.is_whitespace() {
            gap = true;
            rest = after;
            continue;
        }
        let (piece, left) = match c {
            '/' | '\u{2044}' | '\u{2215}' => (Piece::Slash, after),
            '-' | '\u{2010}' | '\u{2011}' | '\u{2013}' | '\u{2212}' => (Piece::Minus, after),
            '\'' | '\u{2032}' | '\u{2019}' => (Piece::Prime, after),
            '"' | '\u{2033}' | '\u{201D}' => (Piece::DoublePrime, after),
            '0'..='9' | '.' => cut_number(rest, text)?,
            ',' => {
                return Err(QuantityError::new(
                    format!("there is a comma in {}", quoted(text)),
                    "decimals take a point and thousands no mark: 1.5 mm, 1500 mm",
                ));
            }
            _ => {
                if let Some(value) = vulgar(c) {
                    (Piece::Vulgar(value), after)
                } else if c.is_alphabetic() {
                    cut_word(rest, text)?
                } else {
                    return Err(QuantityError::new(
                        format!("the character {} has no place in {}", quoted(&c.to_string()), quoted(text)),
                        "write a number and its unit, such as 3/8 in or 10 mm",
                    ));
                }
            }
        };
        tokens.push(Token { piece, gap });
        gap = false;
        rest = left;
    }
    Ok(tokens)
}

/// A run of letters; the point of an abbreviation (`in.`) belongs to it. `12 ft.6 in` is
/// refused: the point may belong to either side.
fn cut_word<'a>(rest: &'a str, text: &str) -> Result<(Piece, &'a str), QuantityError> {
    let end = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
    let (word, left) = rest.split_at(end);
    let left = match left.strip_prefix('.') {
        Some(more) if more.starts_with(|c: char| c.is_ascii_digit()) => {
            return Err(QuantityError::new(
                format!("a point stands between a word and a digit in {}", quoted(text)),
                "put a blank where it belongs: 12 ft 6 in or 12 ft 0.6 in",
            ));
        }
        Some(more) => more,
        None => left,
    };
    Ok((Piece::Word(word.to_lowercase()), left))
}

fn cut_number<'a>(rest: &'a str, text: &str) -> Result<(Piece, &'a str), QuantityError> {
    let end = |s: &str| s.find(|c: char| !c.is_ascii_digit()).unwrap_or(s.len());
    let (whole, left) = rest.split_at(end(rest));
    let (decimals, left, plain) = match left.strip_prefix('.') {
        Some(more) => {
            let (decimals, left) = more.split_at(end(more));
            (decimals, left, false)
        }
        None => ("", left, true),
    };
    if !plain && decimals.is_empty() {
        return Err(QuantityError::new(
            format!("a point without a digit after it in {}", quoted(text)),
            "write 5 or 5.0, and .5 or 0.5",
        ));
    }
    let mut num: i128 = 0;
    for byte in whole.bytes() {
        num = num * 10 + i128::from(byte.saturating_sub(b'0'));
        if num > LARGEST_WRITTEN {
            return Err(too_large(text));
        }
    }
    let mut den: i128 = 1;
    for byte in decimals.bytes().take(KEPT_DECIMALS) {
        num = num * 10 + i128::from(byte.saturating_sub(b'0'));
        den *= 10;
    }
    let value = Ratio { num, den };
    Ok((Piece::Number { value, plain }, left))
}
