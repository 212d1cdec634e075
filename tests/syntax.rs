//! Objects of a PDF as bytes, against the examples of the standard.

use lopdf::{Object, Stream, StringFormat, dictionary};
use wetout::pdf::syntax::spell;

fn spelt(object: &Object) -> String {
    let mut out = Vec::new();
    spell(&mut out, object, &mut |(old, _)| old as usize + 100);
    String::from_utf8(out).unwrap()
}

#[test]
fn objects_are_spelt_as_the_standard_has_it() {
    // ISO 32000-1, 7.3.2 to 7.3.8: numbers, strings, names, arrays, dictionaries, references (from memory).
    let list = Object::Array(vec![Object::Integer(549), Object::Real(34.5), Object::Boolean(false), "Ralph".into()]);
    assert_eq!(spelt(&list), "[549 34.5 false/Ralph]");
    assert_eq!(spelt(&Object::Name(b"Lime Green".to_vec())), "/Lime#20Green");
    assert_eq!(spelt(&Object::Name(b"paired()parentheses".to_vec())), "/paired#28#29parentheses");
    assert_eq!(spelt(&Object::string_literal("a (b) \\ c\r")), "(a \\(b\\) \\\\ c\\r)");
    assert_eq!(spelt(&Object::String(vec![0x90, 0x1f, 0xa3], StringFormat::Hexadecimal)), "<901FA3>");
    let dictionary = dictionary! { "Kids" => vec![(7, 0).into(), Object::Null], "Count" => -1 };
    assert_eq!(spelt(&dictionary.clone().into()), "<</Kids[107 0 R null]/Count -1>>");
    assert_eq!(spelt(&Stream::new(dictionary, b"abc".to_vec()).into()), "<</Kids[107 0 R null]/Count -1/Length 3>>");
}
