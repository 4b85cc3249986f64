"""The checks against published values that are written in Rust: which they are, by the source that stands beside each,
and what `cargo test` says of them.

python rust_checks.py names ROOT lists their names, for `cargo test -- NAMES`.
"""

import re
import sys
from pathlib import Path

from report import Check

SOURCES = re.compile(
    r"JCGM|GUM|ISO \d|ISO/|IEC|NIST|NBS|ASTM|ASME|handbook|Grover|Rosa|Wheeler|Camacho|Furlani|Derby|RFC|truck|"
    r"Euler|worked example|published|common practice"
)
TEST = re.compile(r"((?:[ \t]*///[^\n]*\n)+)(?:[ \t]*#\[[^\n]*\n)*[ \t]*#\[test\]\n(?:[ \t]*#\[[^\n]*\n)*[ \t]*(?:async )?fn (\w+)")
ANSWER = re.compile(r"^test (?:\S*::)?(\w+) \.\.\. (\w+)", re.M)


def found(root):
    """Name and source of every test whose description names a source."""
    for file in sorted([*root.glob("crates/**/*.rs"), *root.glob("tests/src/**/*.rs"), *root.glob("tests/tests/*.rs")]):
        for words, name in TEST.findall(file.read_text()):
            words = " ".join(line.strip().removeprefix("///").strip() for line in words.splitlines())
            if SOURCES.search(words):
                sentence = next(s for s in re.split(r"(?<=\.) ", words) if SOURCES.search(s))
                yield name, sentence


def rust_checks(root, answers):
    said = dict(ANSWER.findall(answers.read_text()))
    for name, source in found(root):
        result = said.get(name, "not run")
        yield Check("", name.replace("_", " "), result, "ok", result == "ok", source)


if __name__ == "__main__":
    print("\n".join(name for name, _ in found(Path(sys.argv[2]))))
