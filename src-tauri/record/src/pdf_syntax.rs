//! PDF syntax, read with bounds: from bytes to objects and the words between them.
//!
//! lopdf has a reader of its own, but a file of a few bytes can send it into endless recursion
//! or make it ask for any amount of memory, and a stack that overflows cannot be caught. What
//! comes from strangers is read here: no recursion, and no more objects than the bounds allow.

use lopdf::{Dictionary, Object, StringFormat};

/// How deep arrays and dictionaries may stand in each other.
const DEPTH: usize = 32;
/// How many objects may stand before one word: far more than any page of ours needs.
const OBJECTS: usize = 100_000;

/// Bytes that are read one after the other.
#[derive(Debug, Clone)]
pub(crate) struct Syntax<'a> {
    bytes: &'a [u8],
    at: usize,
}

/// An array or a dictionary whose end has not come yet.
struct Open {
    dictionary: bool,
    items: Vec<Object>,
}

enum Token {
    Object(Object),
    OpenArray,
    CloseArray,
    OpenDictionary,
    CloseDictionary,
    Word(Vec<u8>),
    End,
}

impl<'a> Syntax<'a> {
    /// Reads from `at` on; nothing if that is past the end.
    pub(crate) fn new(bytes: &'a [u8], at: usize) -> Self {
        Self { bytes, at: at.min(bytes.len()) }
    }

    /// How far it has been read.
    pub(crate) fn at(&self) -> usize {
        self.at
    }

    /// All objects up to the next word, and that word: operands and operator of a page, or
    /// `12 0` and `obj`. At the end of the bytes the word is empty. `None` if this is no PDF
    /// syntax or exceeds the bounds.
    pub(crate) fn phrase(&mut self) -> Option<(Vec<Object>, Vec<u8>)> {
        let mut outer: Vec<Open> = Vec::new();
        let mut items: Vec<Object> = Vec::new();
        for _ in 0..OBJECTS {
            match self.token()? {
                Token::Object(object) => items.push(object),
                token @ (Token::OpenArray | Token::OpenDictionary) => {
                    if outer.len() == DEPTH {
                        return None;
                    }
                    let dictionary = matches!(token, Token::OpenDictionary);
                    outer.push(Open { dictionary, items: std::mem::take(&mut items) });
                }
                token @ (Token::CloseArray | Token::CloseDictionary) => {
                    let Open { dictionary, items: before } = outer.pop()?;
                    if dictionary != matches!(token, Token::CloseDictionary) {
                        return None;
                    }
                    let inner = std::mem::replace(&mut items, before);
                    items.push(if dictionary {
                        Object::Dictionary(self::dictionary(inner)?)
                    } else {
                        Object::Array(inner)
                    });
                }
                Token::Word(word) => match (word.as_slice(), outer.is_empty()) {
                    (b"true", _) => items.push(Object::Boolean(true)),
                    (b"false", _) => items.push(Object::Boolean(false)),
                    (b"null", _) => items.push(Object::Null),
                    (b"R", _) => {
                        let generation = u16::try_from(items.pop()?.as_i64().ok()?).ok()?;
                        let number = u32::try_from(items.pop()?.as_i64().ok()?).ok()?;
                        items.push(Object::Reference((number, generation)));
                    }
                    (_, true) => return Some((items, word)),
                    (_, false) => return None,
                },
                Token::End => return outer.is_empty().then_some((items, Vec::new())),
            }
        }
        None
    }

    fn token(&mut self) -> Option<Token> {
        self.skip_white();
        let rest = self.bytes.get(self.at..)?;
        let Some(first) = rest.first() else { return Some(Token::End) };
        let two = rest.get(..2);
        let (length, token) = match first {
            b'(' => return self.literal().map(Token::Object),
            b'<' if two == Some(b"<<") => (2, Token::OpenDictionary),
            b'>' if two == Some(b">>") => (2, Token::CloseDictionary),
            b'<' => return self.hexadecimal().map(Token::Object),
            b'[' => (1, Token::OpenArray),
            b']' => (1, Token::CloseArray),
            b'/' => return self.name().map(Token::Object),
            b'{' | b'}' => (1, Token::Word(vec![*first])),
            b'>' | b')' => return None,
            _ => {
                let word = self.regular();
                return Some(
                    number(word).map_or_else(|| Token::Word(word.to_vec()), Token::Object),
                );
            }
        };
        self.at += length;
        Some(token)
    }

    fn skip_white(&mut self) {
        let mut comment = false;
        while let Some(byte) = self.bytes.get(self.at) {
            match byte {
                b'\r' | b'\n' => comment = false,
                b'%' => comment = true,
                byte if comment || is_white(*byte) => {}
                _ => return,
            }
            self.at += 1;
        }
    }

    fn regular(&mut self) -> &'a [u8] {
        let rest = self.bytes.get(self.at..).unwrap_or_default();
        let length = rest.iter().take_while(|byte| is_regular(**byte)).count();
        self.at += length;
        rest.get(..length).unwrap_or_default()
    }

    fn name(&mut self) -> Option<Object> {
        self.at += 1;
        let mut raw = self.regular().iter();
        let mut name = Vec::new();
        while let Some(&byte) = raw.next() {
            name.push(match byte {
                b'#' => hex(*raw.next()?)? << 4 | hex(*raw.next()?)?,
                byte => byte,
            });
        }
        Some(Object::Name(name))
    }

    fn hexadecimal(&mut self) -> Option<Object> {
        let rest = self.bytes.get(self.at + 1..)?;
        let length = rest.iter().position(|byte| *byte == b'>')?;
        let digits = rest.get(..length)?.iter().filter(|byte| !is_white(**byte));
        let digits = digits.map(|byte| hex(*byte)).collect::<Option<Vec<u8>>>()?;
        self.at += length + 2;
        // A digit that lacks its second counts as if that were 0.
        let bytes = digits.chunks(2).map(|pair| match pair {
            [high, low] => high << 4 | low,
            [high] => high << 4,
            _ => 0,
        });
        Some(Object::String(bytes.collect(), StringFormat::Hexadecimal))
    }

    fn literal(&mut self) -> Option<Object> {
        let mut string = Vec::new();
        let mut depth = 0_usize;
        loop {
            let byte = self.next()?;
            match byte {
                b'(' => {
                    depth += 1;
                    if depth == 1 {
                        continue;
                    }
                }
                b')' => {
                    depth -= 1;
                    if depth == 0 {
                        return Some(Object::String(string, StringFormat::Literal));
                    }
                }
                b'\\' => {
                    self.escaped(&mut string)?;
                    continue;
                }
                _ => {}
            }
            string.push(byte);
        }
    }

    /// Adds what a backslash and the bytes after it stand for; nothing for a line end.
    fn escaped(&mut self, string: &mut Vec<u8>) -> Option<()> {
        string.push(match self.next()? {
            b'n' => b'\n',
            b'r' => b'\r',
            b't' => b'\t',
            b'b' => 8,
            b'f' => 12,
            b'\n' => return Some(()),
            b'\r' => {
                if self.bytes.get(self.at) == Some(&b'\n') {
                    self.at += 1;
                }
                return Some(());
            }
            digit @ b'0'..=b'7' => {
                let mut value = digit - b'0';
                for _ in 0..2 {
                    let Some(digit @ b'0'..=b'7') = self.bytes.get(self.at) else { break };
                    value = value.wrapping_mul(8).wrapping_add(digit - b'0');
                    self.at += 1;
                }
                value
            }
            byte => byte,
        });
        Some(())
    }

    fn next(&mut self) -> Option<u8> {
        let byte = self.bytes.get(self.at).copied();
        self.at += 1;
        byte
    }
}

pub(crate) fn is_white(byte: u8) -> bool {
    matches!(byte, 0 | b'\t' | b'\n' | 12 | b'\r' | b' ')
}

fn is_regular(byte: u8) -> bool {
    !is_white(byte) && !b"()<>[]{}/%".contains(&byte)
}

fn hex(digit: u8) -> Option<u8> {
    char::from(digit).to_digit(16).and_then(|digit| u8::try_from(digit).ok())
}

fn number(word: &[u8]) -> Option<Object> {
    let text = std::str::from_utf8(word).ok()?;
    // Rust would take "inf" and "1e9" too.
    if !text.bytes().all(|byte| byte.is_ascii_digit() || b"+-.".contains(&byte)) {
        return None;
    }
    text.parse().map(Object::Integer).or_else(|_| text.parse().map(Object::Real)).ok()
}

fn dictionary(items: Vec<Object>) -> Option<Dictionary> {
    let mut dictionary = Dictionary::new();
    let mut items = items.into_iter();
    while let Some(key) = items.next() {
        let Object::Name(key) = key else { return None };
        // Of a key that stands there twice, some programs show the first and some the last.
        if dictionary.has(&key) {
            return None;
        }
        dictionary.set(key, items.next()?);
    }
    Some(dictionary)
}

#[cfg(test)]
mod tests {
    use lopdf::dictionary;

    use super::*;

    fn read(text: &str) -> Option<(Vec<Object>, String)> {
        let (objects, word) = Syntax::new(text.as_bytes(), 0).phrase()?;
        Some((objects, String::from_utf8(word).unwrap()))
    }

    #[test]
    fn every_kind_of_object_is_read() {
        let text = "% a comment (\n<</A[1 -2.5 +3 .5]/B#20C<48 65 7>/D(a\\(b\\051\\n(c)\\\r\nd)\
                    /E 12 0 R/F true/G null>>endobj";
        let expected = dictionary! {
            "A" => vec![1.into(), Object::Real(-2.5), 3.into(), Object::Real(0.5)],
            "B C" => Object::String(b"Hep".to_vec(), StringFormat::Hexadecimal),
            "D" => Object::String(b"a(b)\n(c)d".to_vec(), StringFormat::Literal),
            "E" => Object::Reference((12, 0)),
            "F" => true,
            "G" => Object::Null,
        };
        assert_eq!(read(text), Some((vec![expected.into()], "endobj".to_owned())));
        assert_eq!(read("12 0 obj"), Some((vec![12.into(), 0.into()], "obj".to_owned())));
        assert_eq!(read(" "), Some((vec![], String::new())));
        assert_eq!(read("1e9 "), Some((vec![], "1e9".to_owned())));
    }

    #[test]
    fn what_is_broken_or_too_much_is_none() {
        for text in [
            "<</A>>",
            "<<1 2>>",
            "[1 2>>",
            "<</A 1]",
            "]",
            ">>",
            "(a",
            "<4g>",
            "<41",
            ")",
            "[a]",
            "/a#4",
            "0 R",
            "-1 0 R",
            "5 70000 R",
            "[",
            "<<",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
        assert!(read(&("[".repeat(DEPTH) + &"]".repeat(DEPTH))).is_some());
        assert_eq!(read(&("[".repeat(DEPTH + 1) + &"]".repeat(DEPTH + 1))), None);
        assert_eq!(read(&"0 ".repeat(OBJECTS)), None);
        assert!(read(&("(".repeat(100_000) + &")".repeat(100_000))).is_some());
    }
}
