//! DXF as of the version that states its unit and has closed lines with arcs in them (AC1015): a header, the tables that a
//! reader asks for, and the lines. Groups are pairs of lines, a code and a value (the format's published reference; what is
//! read back by `ezdxf` in `tests/outside`).

use std::fmt::{Display, Write};

use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::plane::{Contour, Segment};

use super::{Lines, rounded};

/// Black, or whatever shows on the screen; and grey.
const PLAIN: i32 = 7;
const GREY: i32 = 8;

/// Layers with their colours.
const LAYERS: [(&str, i32); 3] = [("0", PLAIN), ("cut", PLAIN), ("mark", GREY)];

/// The text of a file.
pub fn write(lines: &Lines) -> String {
    // Handles of what others hang on are fixed, those of lines come after.
    let mut file = File { text: String::new(), next: FIRST };
    file.entities(lines);
    let entities = std::mem::take(&mut file.text);
    file.header();
    file.tables();
    file.blocks();
    file.text += &entities;
    file.objects();
    file.text
}

/// Handles of tables, blocks and the root dictionary.
const TABLES: [&str; 9] =
    ["VPORT", "LTYPE", "LAYER", "STYLE", "VIEW", "UCS", "APPID", "DIMSTYLE", "BLOCK_RECORD"];
const TABLE: u32 = 0x1;
const LINE_TYPE: u32 = 0x10;
const LAYER: u32 = 0x20;
const STYLE: u32 = 0x28;
const APPLICATION: u32 = 0x2A;
const DIMENSIONS: u32 = 0x2C;
const SPACE: u32 = 0x30;
const BLOCK: u32 = 0x38;
const ROOT: u32 = 0x50;
const GROUPS: u32 = 0x51;
const FIRST: u32 = 0x100;

struct File {
    text: String,
    next: u32,
}

impl File {
    fn group(&mut self, code: u32, value: impl Display) {
        // Writing to a String does not fail.
        let _ = write!(self.text, "{code}\n{value}\n");
    }

    fn groups(&mut self, all: &[(u32, &str)]) {
        for (code, value) in all {
            self.group(*code, value);
        }
    }

    fn number(&mut self, code: u32, value: f64) {
        self.group(code, rounded(value));
    }

    fn handle(&mut self, code: u32, handle: u32) {
        self.group(code, format_args!("{handle:X}"));
    }

    /// A section's or a table's beginning, of a kind with a name.
    fn begin(&mut self, kind: &str, name: &str) {
        self.groups(&[(0, kind), (2, name)]);
    }

    fn header(&mut self) {
        self.begin("SECTION", "HEADER");
        self.groups(&[(9, "$ACADVER"), (1, "AC1015"), (9, "$HANDSEED")]);
        let seed = self.next;
        self.handle(5, seed);
        // Millimetres.
        self.groups(&[(9, "$MEASUREMENT"), (70, "1"), (9, "$INSUNITS"), (70, "4"), (0, "ENDSEC")]);
    }

    fn tables(&mut self) {
        self.begin("SECTION", "TABLES");
        for (name, handle) in TABLES.into_iter().zip(TABLE..) {
            self.begin("TABLE", name);
            self.handle(5, handle);
            self.groups(&[(330, "0"), (100, "AcDbSymbolTable")]);
            match name {
                "LTYPE" => self.line_types(handle),
                "LAYER" => self.layers(handle),
                "STYLE" => self.style(handle),
                "APPID" => self.application(handle),
                "DIMSTYLE" => self.dimension_style(handle),
                "BLOCK_RECORD" => self.spaces(handle),
                _ => self.group(70, 0),
            }
            self.group(0, "ENDTAB");
        }
        self.group(0, "ENDSEC");
    }

    /// An entry of a table, up to its name and flags.
    fn entry(&mut self, kind: &str, handle: u32, of: u32, class: &str, name: &str) {
        self.group(0, kind);
        self.handle(if kind == "DIMSTYLE" { 105 } else { 5 }, handle);
        self.handle(330, of);
        self.groups(&[(100, "AcDbSymbolTableRecord"), (100, class), (2, name)]);
    }

    fn line_types(&mut self, table: u32) {
        self.group(70, 3);
        for (name, handle) in ["ByBlock", "ByLayer", "Continuous"].into_iter().zip(LINE_TYPE..) {
            self.entry("LTYPE", handle, table, "AcDbLinetypeTableRecord", name);
            self.groups(&[(70, "0"), (3, ""), (72, "65"), (73, "0"), (40, "0")]);
        }
    }

    fn layers(&mut self, table: u32) {
        self.group(70, LAYERS.len());
        for ((name, colour), handle) in LAYERS.into_iter().zip(LAYER..) {
            self.entry("LAYER", handle, table, "AcDbLayerTableRecord", name);
            self.group(70, 0);
            self.group(62, colour);
            self.group(6, "Continuous");
        }
    }

    fn style(&mut self, table: u32) {
        self.group(70, 1);
        self.entry("STYLE", STYLE, table, "AcDbTextStyleTableRecord", "Standard");
        self.groups(&[
            (70, "0"),
            (40, "0"),
            (41, "1"),
            (50, "0"),
            (71, "0"),
            (42, "2.5"),
            (3, "txt"),
            (4, ""),
        ]);
    }

    fn application(&mut self, table: u32) {
        self.group(70, 1);
        self.entry("APPID", APPLICATION, table, "AcDbRegAppTableRecord", "ACAD");
        self.group(70, 0);
    }

    fn dimension_style(&mut self, table: u32) {
        self.groups(&[(70, "1"), (100, "AcDbDimStyleTable"), (71, "1")]);
        self.entry("DIMSTYLE", DIMENSIONS, table, "AcDbDimStyleTableRecord", "Standard");
        self.group(70, 0);
    }

    fn spaces(&mut self, table: u32) {
        self.group(70, 2);
        for (name, handle) in ["*Model_Space", "*Paper_Space"].into_iter().zip(SPACE..) {
            self.entry("BLOCK_RECORD", handle, table, "AcDbBlockTableRecord", name);
        }
    }

    fn blocks(&mut self) {
        self.begin("SECTION", "BLOCKS");
        for (i, name) in (0..).zip(["*Model_Space", "*Paper_Space"]) {
            self.group(0, "BLOCK");
            self.handle(5, BLOCK + i * 2);
            self.handle(330, SPACE + i);
            self.groups(&[(100, "AcDbEntity"), (8, "0"), (100, "AcDbBlockBegin"), (2, name), (70, "0")]);
            self.groups(&[(10, "0"), (20, "0"), (30, "0"), (3, name), (1, ""), (0, "ENDBLK")]);
            self.handle(5, BLOCK + i * 2 + 1);
            self.handle(330, SPACE + i);
            self.groups(&[(100, "AcDbEntity"), (8, "0"), (100, "AcDbBlockEnd")]);
        }
        self.group(0, "ENDSEC");
    }

    fn objects(&mut self) {
        self.begin("SECTION", "OBJECTS");
        self.group(0, "DICTIONARY");
        self.handle(5, ROOT);
        self.groups(&[(330, "0"), (100, "AcDbDictionary"), (281, "1"), (3, "ACAD_GROUP")]);
        self.handle(350, GROUPS);
        self.group(0, "DICTIONARY");
        self.handle(5, GROUPS);
        self.handle(330, ROOT);
        self.groups(&[(100, "AcDbDictionary"), (281, "1"), (0, "ENDSEC"), (0, "EOF")]);
    }

    fn entities(&mut self, lines: &Lines) {
        self.begin("SECTION", "ENTITIES");
        // Scored first: what is cut out may move.
        for line in &lines.marks {
            self.line(line, "mark");
        }
        for contour in &lines.cuts {
            match contour.as_circle() {
                Some((center, radius)) => {
                    self.entity("CIRCLE", "AcDbCircle", "cut");
                    self.numbers(&[(10, center.x), (20, center.y), (30, 0.0), (40, radius)]);
                }
                None => self.closed(contour, "cut"),
            }
        }
        self.group(0, "ENDSEC");
    }

    fn numbers(&mut self, all: &[(u32, f64)]) {
        for (code, value) in all {
            self.number(*code, *value);
        }
    }

    fn entity(&mut self, kind: &str, class: &str, layer: &str) {
        self.group(0, kind);
        let handle = self.next;
        self.next += 1;
        self.handle(5, handle);
        self.handle(330, SPACE);
        self.groups(&[(100, "AcDbEntity"), (8, layer), (100, class)]);
    }

    fn line(&mut self, line: &Segment, layer: &str) {
        self.entity("LINE", "AcDbLine", layer);
        self.numbers(&[(10, line.from.x), (20, line.from.y), (30, 0.0)]);
        self.numbers(&[(11, line.to.x), (21, line.to.y), (31, 0.0)]);
    }

    /// A closed line; an arc's bulge is the tangent of a quarter of its sweep, positive counter-clockwise.
    fn closed(&mut self, contour: &Contour, layer: &str) {
        self.entity("LWPOLYLINE", "AcDbPolyline", layer);
        self.group(90, contour.segments().len());
        self.groups(&[(70, "1"), (43, "0")]);
        for segment in contour.segments() {
            self.numbers(&[(10, segment.from.x), (20, segment.from.y)]);
            if let Some(bend) = segment.bend {
                let bulge = (segment.sweep() / 4.0).tangent();
                self.group(42, if bend.ccw { bulge } else { -bulge });
            }
        }
    }
}
