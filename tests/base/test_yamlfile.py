"""YAML read as text: traps of the common reader, limits, and every fault with its place."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from builder import yamlfile
from builder.errors import InputFaults
from builder.yamlfile import MAX_BYTES, MAX_DEPTH, MAX_FAULTS, MAX_KEY, Mapping, Sequence, Text


def read(text: str | bytes) -> Mapping:
    return yamlfile.parse(text if isinstance(text, bytes) else text.encode(), "job.yml")


def plain(text: str | bytes) -> object:
    return yamlfile.plain(read(text))


def faults(text: str | bytes) -> list[str]:
    with pytest.raises(InputFaults) as refused:
        read(text)
    return str(refused.value).splitlines()


@pytest.fixture(params=["fast", "slow"], autouse=True)
def reader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test runs with the compiled reader and with the one in pure Python."""
    if request.param == "slow":
        monkeypatch.setattr(yamlfile, "_LOADER", yaml.Loader)


@pytest.mark.parametrize(
    ("scalar", "common"),
    [
        ("1:2", 62),
        ("12:30", 750),
        ("no", False),
        ("on", True),
        ("Yes", True),
        ("~", None),
        ("null", None),
        ("1_000", 1000),
        ("0o17", "0o17"),
        ("017", 15),
        ("0x1F", 31),
        ("1e-3", "1e-3"),
        (".inf", float("inf")),
        ("2026-11-25", None),
        ("75 mm", "75 mm"),
        ("=", "="),
    ],
)
def test_a_scalar_is_the_text_the_author_typed(scalar: str, common: object) -> None:
    assert plain(f"a: {scalar}\n") == {"a": scalar}
    if scalar not in ("2026-11-25", "="):  # the trap is real: the common reader makes something else of it
        assert yaml.safe_load(f"a: {scalar}\n") == {"a": common}


def test_keys_stay_text_too() -> None:
    assert plain("on: 1\n1: 2\nno: 3\n1:2: 4\n") == {"on": "1", "1": "2", "no": "3", "1:2": "4"}


def test_text_in_quotes_and_blocks_and_lists() -> None:
    text = 'a: "x: #1\\n"\nb: |\n  two\n  lines\nc: >\n  one\n  line\nd: [1, "2", [3]]\ne: {f: g}\nh:\n- i\n'
    assert plain(text) == {
        "a": "x: #1\n",
        "b": "two\nlines\n",
        "c": "one line\n",
        "d": ["1", "2", ["3"]],
        "e": {"f": "g"},
        "h": ["i"],
    }


def test_an_empty_value_is_empty_text() -> None:
    assert plain("a:\nb: ''\n") == {"a": "", "b": ""}


def test_every_node_knows_its_place() -> None:
    root = read("ref: QR-1\nlevels:\n  peg: {above_rim: 500 mm}\nfloor: [[0 m, 1 m],\n  [4 m, 2 m]]\n")
    levels = root.entries["levels"]
    assert isinstance(levels, Mapping)
    assert (levels.line, levels.column) == (3, 3)
    assert root.keys["levels"] == Text("levels", 2, 1)
    assert yamlfile.place(root, ("levels", "peg", "above_rim")) == (3, 20)
    assert yamlfile.place(root, ("floor", 1, 0)) == (5, 4)
    assert root.entries["ref"] == Text("QR-1", 1, 6)


def test_a_path_that_is_not_there_leads_to_its_nearest_ancestor() -> None:
    root = read("a: 1\nlevels:\n  peg: {above_rim: 500 mm}\n")
    assert yamlfile.place(root, ("levels", "peg", "missing")) == (3, 3)
    assert yamlfile.place(root, ("missing",)) == (1, 1)
    assert yamlfile.place(root, ("levels", "union-branch", "peg", "above_rim")) == (3, 20)
    assert yamlfile.place(root, ("a", 3)) == (1, 4)


def test_paths_are_dotted() -> None:
    assert yamlfile.dotted(("shell", "floor", 1, 0)) == "shell.floor[1][0]"
    assert yamlfile.dotted(()) == ""
    assert yamlfile.dotted((2, "to")) == "[2].to"


def test_walking_yields_every_node_parents_first() -> None:
    root = read("a: {b: [1, 2]}\nc: 3\n")
    paths = [path for path, _ in yamlfile.walk(root)]
    assert paths == [(), ("a",), ("a", "b"), ("a", "b", 0), ("a", "b", 1), ("c",)]
    assert [type(node) for _, node in yamlfile.walk(root)] == [Mapping, Mapping, Sequence, Text, Text, Text]


@pytest.mark.parametrize(
    "text", [b"\xef\xbb\xbfa: 1\nb: 2\n", b"a: 1\r\nb: 2\r\n", b"a: 1\rb: 2\r", b"a: 1\nb: 2"]
)
def test_a_byte_order_mark_and_any_line_end_are_fine(text: bytes) -> None:
    root = read(text)
    assert yamlfile.plain(root) == {"a": "1", "b": "2"}
    assert yamlfile.place(root, ("b",)) == (2, 4)


# --- faults, each with its place and remedy ------------------------------------------------------


WRITE_OUT = "Write the value out"
RETYPE = "Delete it, or type the line again"
START = "Start with `ref:` and `title:`"
LINES = "Write `key: value` lines, such as `ref: QR-0412`"


@pytest.mark.parametrize(
    ("text", "place", "wrong", "instead"),
    [
        (
            "a: 1\nb:\n  a: 2\n  a: 3\n",
            "4:3",
            "b.a: this key stands twice (first in line 3)",
            "Keep one of them",
        ),
        ("a: &x 1\n", "1:4", "a: the anchor &x is not allowed", f"{WRITE_OUT} where it is needed"),
        ("a: [1, *x]\n", "1:8", "a[1]: the alias *x is not allowed", WRITE_OUT),
        ("a: !!str 1\n", "1:4", "a: the tag tag:yaml.org,2002:str is not allowed", "Write the plain value"),
        ("a: ! 1\n", "1:4", "a: the tag ! is not allowed", "Write the plain value"),
        ("a:\n  <<: {b: 1}\n", "2:3", "a: merge keys are not allowed", "Write the keys out"),
        ("a: 1\n---\nb: 2\n", "2:1", "a second document starts here", "Keep one job in one file"),
        ("a:\t1\n", "1:3", "a tab stands here", "Use spaces"),
        ("a: 1\u200b2\n", "1:5", "an invisible character U+200B stands here", RETYPE),
        ("a: \u202etxt\n", "1:4", "an invisible character U+202E stands here", RETYPE),
        ("a: \x07\n", "1:4", "an invisible character U+0007 stands here", RETYPE),
        ("a: 1\nb: \ufeff2\n", "2:4", "an invisible character U+FEFF stands here", RETYPE),
        ("? [a]\n: 1\n", "1:3", "a key must be plain text", "Write `key: value`"),
        ("{[a]: 1, b: 2}\n", "1:2", "a key must be plain text", "Write `key: value`"),
        ("", "1:1", "the file is empty", START),
        ("# only a remark\n", "1:1", "the file is empty", START),
        ("- a\n- b\n", "1:1", "the file holds no keys", LINES),
        ("just words\n", "1:1", "the file holds no keys", LINES),
    ],
)
def test_a_trap_is_a_fault_with_place_and_remedy(text: str, place: str, wrong: str, instead: str) -> None:
    assert faults(text) == [f"job.yml:{place}: {wrong}. {instead}."]


@pytest.mark.parametrize(
    "text", ["a: [1\n", "a: 'x\n", "a: b: c\n", "a\n  b: 1\n c: 2\n", "%YAML 9\na\n", "a: @x\n", "{a: 1"]
)
def test_what_is_not_yaml_says_where(text: str) -> None:
    (line,) = faults(text)
    place, _, said = line.partition(" ")
    assert place.startswith("job.yml:")
    assert said.startswith("this is not YAML: ")
    assert said.endswith("Check the indent, and put quotes around text that holds `: `, `#` or brackets.")


def test_all_faults_are_reported_at_once_in_reading_order() -> None:
    assert faults("a: &x 1\nb: *x\nc: !t 2\na: 3\n<<: 4\n") == [
        "job.yml:1:4: a: the anchor &x is not allowed. Write the value out where it is needed.",
        "job.yml:2:4: b: the alias *x is not allowed. Write the value out.",
        "job.yml:3:4: c: the tag !t is not allowed. Write the plain value.",
        "job.yml:4:1: a: this key stands twice (first in line 1). Keep one of them.",
        "job.yml:5:1: merge keys are not allowed. Write the keys out.",
    ]


def test_faults_before_broken_yaml_are_reported_with_it() -> None:
    lines = faults("a: &x 1\nb: [1\n")
    assert lines[0] == "job.yml:1:4: a: the anchor &x is not allowed. Write the value out where it is needed."
    assert "this is not YAML" in lines[1]


def test_faults_before_too_deep_a_nesting_are_reported_with_it() -> None:
    lines = faults("a: &x 1\nb: " + "[" * 25 + "]" * 25 + "\n")
    assert len(lines) == 2
    assert "the anchor &x" in lines[0]


def test_both_of_two_characters_are_reported() -> None:
    assert [line.split(" ")[0] for line in faults("a:\t1\nb: \u200b\n")] == ["job.yml:1:3:", "job.yml:2:4:"]


@pytest.mark.parametrize(
    ("raw", "place"),
    [
        (b"a: 1\nb: \xff\n", "2:4"),
        (b"\xef\xbb\xbfa: 1\nb: \xff\n", "2:4"),
        ("é: ".encode() + b"\xff", "1:4"),
        (b"a: 1\r\nb: \xff", "2:4"),
        (b"a: 1\rb: \xff", "2:4"),
        ("a: 1\n".encode("utf-16"), "1:1"),
        (b"a: \xed\xa0\x80", "1:4"),
        (b"a: \xc0\x80", "1:4"),
    ],
)
def test_a_byte_that_is_not_utf8_is_a_fault_with_its_place(raw: bytes, place: str) -> None:
    assert faults(raw) == [f"job.yml:{place}: a byte here is not UTF-8 text. Save the file as UTF-8."]


@pytest.mark.parametrize("character", sorted(yamlfile._FORBIDDEN))
def test_no_control_or_direction_character_passes(character: str) -> None:
    (line,) = faults(f"a: x{character}y\n")
    assert line.startswith("job.yml:1:5: ")


@pytest.mark.parametrize(
    "text", ["a: Grüße, 5 × 3, 45°, Ω\n", "a: 水\n", "a: שלום\n", "a: 👍\n", "a: x\u00a0y\n"]
)
def test_letters_of_any_script_are_fine(text: str) -> None:
    assert plain(text) == {"a": text[3:-1]}


def test_nesting_up_to_the_limit_is_fine_and_beyond_is_a_fault() -> None:
    def nested(depth: int) -> str:
        return "a: " + "[" * depth + "x" + "]" * depth + "\n"

    assert isinstance(read(nested(MAX_DEPTH - 1)).entries["a"], Sequence)
    (line,) = faults(nested(MAX_DEPTH))
    assert line.startswith(f"job.yml:1:{MAX_DEPTH + 3}: ")
    assert "more than 20 levels deep" in line


def test_a_key_as_long_as_the_limit_is_fine_and_longer_is_a_fault() -> None:
    assert plain("k" * MAX_KEY + ": 1\n") == {"k" * MAX_KEY: "1"}
    assert faults("a: 1\n" + "k" * (MAX_KEY + 1) + ": [*x]\n") == [
        f"job.yml:2:1: {'k' * 20}…: this key has 81 characters. A key is a word or two before `: `.",
        f"job.yml:2:{MAX_KEY + 5}: {'k' * 20}…[0]: the alias *x is not allowed. Write the value out.",
    ]


def test_faults_stop_at_the_limit() -> None:
    assert len(faults("a: [" + "*x, " * 400 + "]\n")) == MAX_FAULTS
    assert len(faults("a:\t1\n" * 400)) == MAX_FAULTS


# --- files ---------------------------------------------------------------------------------------


def test_a_file_is_read_and_called_by_the_name_given(tmp_path: Path) -> None:
    path = tmp_path / "demo.yml"
    path.write_text("ref: QR-1\n")
    assert yamlfile.plain(yamlfile.read(path)) == {"ref": "QR-1"}
    path.write_text("a: *x\n")
    with pytest.raises(InputFaults, match=r"^jobs/demo.yml:1:4: "):
        yamlfile.read(path, "jobs/demo.yml")
    with pytest.raises(InputFaults) as refused:
        yamlfile.read(path)
    assert str(refused.value).startswith(f"{path}:1:4: ")


def test_a_file_that_is_not_there_a_folder_and_a_large_file_are_faults(tmp_path: Path) -> None:
    large = tmp_path / "large.yml"
    large.write_bytes(b"a: " + b"x" * MAX_BYTES)
    for path, said in (
        (tmp_path / "none.yml", "there is no such file. Name a job spec that exists."),
        (tmp_path, "this is a folder. Name the spec file in it."),
        (large, f"the file has {MAX_BYTES + 3} bytes. Keep it under {MAX_BYTES} bytes."),
        (Path("a\0b"), "the file cannot be read: "),
    ):
        with pytest.raises(InputFaults) as refused:
            yamlfile.read(path, "job.yml")
        assert str(refused.value).startswith(f"job.yml:1:1: {said}")


def test_the_largest_file_allowed_is_read(tmp_path: Path) -> None:
    path = tmp_path / "full.yml"
    path.write_bytes(b"a: " + b"x" * (MAX_BYTES - 3))
    assert len(str(yamlfile.plain(yamlfile.read(path))["a"])) == MAX_BYTES - 3


TREES = st.recursive(
    st.text(
        st.characters(codec="utf-8", exclude_characters="".join(yamlfile._FORBIDDEN) + "\x85\n\r"),
        max_size=12,
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.from_regex(r"[a-z][a-z_0-9]{0,9}", fullmatch=True), inner, max_size=4),
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.from_regex(r"[a-z][a-z_0-9]{0,9}", fullmatch=True), TREES, min_size=1, max_size=4))
def test_what_the_common_writer_writes_is_read_back(tree: dict[str, object]) -> None:
    written = yaml.safe_dump(tree, allow_unicode=True, default_style='"')
    assert plain(written) == tree


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused_with_faults(raw: bytes) -> None:
    try:
        read(raw)
    except InputFaults as refused:
        assert all(f.line >= 1 and f.column >= 1 for f in refused.faults)  # noqa: PT017 - no other error may come


@pytest.mark.parametrize(
    ("escape", "code"),
    [
        ("\\0", "0000"), ("\\a", "0007"), ("\\e", "001B"), ("\\t", "0009"), ("\\N", "0085"), ("\\L", "2028"),
        ("\\u202e", "202E"), ("\\u2066", "2066"), ("\\u200b", "200B"),
        ("\\uFFFE", "FFFE"), ("\\U0010FFFF", "10FFFF"),
    ],
)  # fmt: skip
def test_an_escape_writes_no_character_that_may_not_be_typed(escape: str, code: str) -> None:
    said = f"job.yml:1:4: a: an escape writes the invisible character U+{code}. Leave it out."
    assert faults(f'a: "x{escape}y"\n') == [said]
    assert faults(f'"x{escape}y": a\n') == [said.replace("1:4: a:", "1:1:")]


def test_an_escape_may_write_what_may_be_typed() -> None:
    assert plain('a: "x\\ny \\u00e9 \\x22"\n') == {"a": 'x\ny é "'}
