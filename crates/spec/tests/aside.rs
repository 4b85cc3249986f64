//! What was read of something that the family does not have, or no longer, is set aside and comes back with it.

mod common;

use bobbinwright_spec::{Family, Problems};
use common::{FAMILY, READINGS, file};

fn read(family: &str, log: &str) -> Result<Family, Problems> {
    Family::read("test", file("family.ron", family), file("readings.ron", log))
}

/// The demo without its second position.
fn neck_alone() -> String {
    let from = FAMILY.find("        (\n            name: \"bridge\"").unwrap();
    let to = from + FAMILY[from..].find("        ),\n").unwrap() + "        ),\n".len();
    format!("{}{}", &FAMILY[..from], &FAMILY[to..])
}

#[test]
fn a_position_is_taken_out_and_its_readings_wait() {
    let both = read(FAMILY, READINGS).unwrap();
    let alone = read(&neck_alone(), READINGS).unwrap_or_else(|e| panic!("{e}"));
    let [notice] = &alone.notices[..] else { panic!("{:#?}", alone.notices) };
    let readings =
        READINGS.lines().filter(|l| l.contains("of: \"bridge.") && !l.contains("bridge.spread")).count();
    let said = format!(
        "{readings} readings are at \"bridge\", a position that this family does not have, and set aside"
    );
    assert_eq!(notice.message, said);
    assert_eq!(alone.entries, both.entries, "they keep their numbers");
    let length = |f: &Family| f.positions[0].rout.length.value().as_mm();
    // Fewer readings tell of the hand's scatter, by which the spots are weighed.
    common::near(length(&alone), length(&both), 1e-3, "the neck's rout");
}

#[test]
fn a_string_too_many() {
    let seventh = "reading(on: \"2026-09-20\", of: \"strings.gauge.7\", got: inch(0.072))\n\
                   reading(on: \"2026-09-20\", of: \"neck.strings.6-7\", got: mm(10.1))\n";
    let family = read(FAMILY, &format!("{READINGS}\n{seventh}")).unwrap_or_else(|e| panic!("{e}"));
    let [notice] = &family.notices[..] else { panic!("{:#?}", family.notices) };
    let said = "2 readings are of string 7, which this family does not have, and set aside";
    assert_eq!(notice.message, said);
}

/// One entry that is spelt like what is there is more likely a slip of the pen.
#[test]
fn a_slip_of_the_pen_is_refused() {
    for name in ["nack.rout.length", "strings.gauge.7", "bridge.strings.height.66", "middle.rout.lenth"] {
        let entry = format!("reading(on: \"2026-09-20\", of: \"{name}\", got: mm(50.0))");
        let refused = read(FAMILY, &format!("{READINGS}\n{entry}\n")).unwrap_err();
        assert_eq!(refused.all.len(), 1, "{name}: {refused}");
    }
}
