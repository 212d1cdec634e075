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

/// Held against lopdf, another writer of the same format: every hundredth up to a page's size, numbers that are none, and strings
/// of any two bytes.
#[test]
fn operators_are_spelt_as_another_writer_spells_them() {
    use lopdf::content::{Content, Operation};
    use wetout::pdf::operators::Operators;
    let numbers: Vec<f32> = (-1_200..90_000)
        .map(|n| (f64::from(n) / 100.0) as f32)
        .chain([-0.0, 0.001, 0.333_333_34, 1.0 / 7.0, 0.866_03, 9_999.99, 10_000.5, 123_456.78, 1e9, -0.004, 0.7072])
        .collect();
    let strings: Vec<Vec<u8>> = (0..=u16::MAX).step_by(7).map(|n| n.to_be_bytes().to_vec()).collect();
    let both = [b"(\\)".to_vec(), b"()(".to_vec(), b")(".to_vec(), b"((a)\r)".to_vec()];
    let mut ours = Operators::default();
    numbers.chunks(2).for_each(|pair| ours.put(pair, "Td"));
    strings.iter().chain(&both).for_each(|text| ours.show([(text.as_slice(), -3), (b"x", 0)].into_iter()));
    ours.show([(b"y".as_slice(), 0)].into_iter());
    ours.marked("P", "MCID", " 5");
    ours.named("F1", &[11.5], "Tf");
    ours.dashes(&[2.5, 1.0]);
    let real = |n: &f32| Object::Real(*n);
    let mut theirs: Vec<Operation> =
        numbers.chunks(2).map(|pair| Operation::new("Td", pair.iter().map(real).collect())).collect();
    let literal = |text: &[u8]| Object::String(text.to_vec(), StringFormat::Literal);
    let shown = |text: &Vec<u8>| vec![Object::Array(vec![literal(text), Object::Integer(-3), literal(b"x")])];
    theirs.extend(strings.iter().chain(&both).map(|text| Operation::new("TJ", shown(text))));
    theirs.push(Operation::new("Tj", vec![literal(b"y")]));
    theirs.push(Operation::new("BDC", vec!["P".into(), dictionary! { "MCID" => 5 }.into()]));
    theirs.push(Operation::new("Tf", vec!["F1".into(), Object::Real(11.5)]));
    theirs.push(Operation::new("d", vec![Object::Array(vec![real(&2.5), real(&1.0)]), Object::Integer(0)]));
    // Ours leaves out the blanks that nothing needs, so both are read again.
    let read = |bytes: &[u8]| -> Vec<(String, Vec<Object>)> {
        let content = Content::decode(bytes).unwrap();
        content.operations.into_iter().map(|one| (one.operator, one.operands)).collect()
    };
    let (ours, theirs) = (read(&ours.into_bytes()), read(&Content { operations: theirs }.encode().unwrap()));
    let first = ours.iter().zip(&theirs).find(|(ours, theirs)| ours != theirs);
    assert!(ours == theirs, "{} and {} operators; {first:?}", ours.len(), theirs.len());
}
