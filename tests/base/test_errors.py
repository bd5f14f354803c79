"""A fault is one line: where, what is wrong, what to write instead."""

from builder.errors import CannotWrite, Fault, FormulaError, InputFaults, ShellbedError


def test_a_fault_says_where_what_and_what_instead() -> None:
    fault = Fault("jobs/demo.yml", 14, 9, "shell.mass", "must be above zero, but is -2 kg", "Write 780 kg")
    assert str(fault) == ("jobs/demo.yml:14:9: shell.mass: must be above zero, but is -2 kg. Write 780 kg.")


def test_a_fault_of_the_whole_file_names_no_key() -> None:
    fault = Fault("demo.yml", 1, 1, "", "the file is empty", "Start with `ref:`")
    assert str(fault) == "demo.yml:1:1: the file is empty. Start with `ref:`."


def test_a_sentence_that_is_closed_stays_closed() -> None:
    assert str(Fault("a", 1, 2, "k", "What is this?", "Write it!")) == "a:1:2: k: What is this? Write it!"


def test_faults_come_in_reading_order_each_once() -> None:
    later = Fault("a.yml", 10, 1, "", "b", "c")
    earlier = Fault("a.yml", 9, 5, "", "b", "c")
    other_file = Fault("b.yml", 1, 1, "", "b", "c")
    faults = InputFaults([other_file, later, earlier, later])
    assert faults.faults == (earlier, later, other_file)
    assert str(faults) == "a.yml:9:5: b. c.\na.yml:10:1: b. c.\nb.yml:1:1: b. c."


def test_what_cannot_be_written_says_why_and_what_to_do() -> None:
    error = CannotWrite("out/guide", "disk full")
    assert str(error) == (
        "out/guide: could not be written: disk full. Free the place, or name another with --out."
    )
    assert (error.path, error.why) == ("out/guide", "disk full")


def test_every_error_of_ours_has_one_root() -> None:
    for error in (InputFaults, CannotWrite, FormulaError):
        assert issubclass(error, ShellbedError)
