"""Faults of content/ are one clear line with file and line, for an author who knows no Python."""

import shutil
from pathlib import Path

import pytest

from builder import pages
from builder.errors import InputFaults
from builder.pages.manifest import CONTENT
from tests.pages.reading import JOBS, results_of


def fault(tmp_path: Path, line: str, path: str = "steps/pocket.md") -> str:
    """Render the demo job with one line added inside the actions of a page; return the fault."""
    folder = tmp_path / "content"
    shutil.copytree(CONTENT, folder)
    text = (folder / path).read_text("utf-8").split("\n")
    at = text.index("{% block actions %}") if "{% block actions %}" in text else 5
    text.insert(at + 1, line)
    (folder / path).write_text("\n".join(text), "utf-8")
    with pytest.raises(InputFaults) as caught:
        pages.render(results_of(JOBS / "quandong-rise.yml"), folder)
    assert len(caught.value.faults) == 1
    assert caught.value.faults[0].line == at + 2
    assert "\n" not in str(caught.value)
    return str(caught.value)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("{{ sipohn }}", "'sipohn' is undefined"),
        ("{{ spec.bedding.thikness | mm }}", "no attribute 'thikness'"),
        ("{{ n('standpipe.lenght') }}", "there is no number 'standpipe.lenght'"),
        ("{{ n('uplift.safety_today') }}", "uplift.safety_today is a working number"),
        ("{{ n('valve.sealant_volume') }}", "valve.sealant_volume has no value in this job"),
        ("{{ reason('shell.mass') }}", "shell.mass has no reason in this job"),
        ("{{ practice('nail') }}", "there is no common-practice value 'nail'"),
        ("{{ caution('nail') }}", "there is no caution 'nail'"),
        ("{{ who('nail') }}", "names nobody for nail"),
        ("{{ figure('plan') }}{{ figure('plan') }}", "stands twice"),
        ("{{ figure('a') }}{{ figure('b') }}", "more than 2 figures"),
        ("{{ spec.sump }}", "a value that is not there"),
        ("{% if %}", "Expected an expression"),
    ],
)
def test_a_wrong_line_is_told_by_file_and_line(tmp_path: Path, line: str, told: str) -> None:
    text = fault(tmp_path, line)
    assert text.startswith("content/steps/pocket.md:")
    assert told in text


def test_a_wrong_name_in_a_caution_is_told_by_the_data_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from builder.pages import tools, wording

    folder = tmp_path / "shared"
    shutil.copytree(wording.SHARED, folder, ignore=shutil.ignore_patterns("theme", "fonts"))
    file = folder / "cautions.yml"
    file.write_text(file.read_text("utf-8").replace("Clamp the tube", "Clamp the {{ tbue }}"), "utf-8")
    row = wording.cautions(folder)["saw"]
    monkeypatch.setattr(tools, "cautions", lambda: wording.cautions(folder))
    with pytest.raises(InputFaults, match=rf"^shared/cautions.yml:{row.place[1]}:1: 'tbue' is undefined"):
        pages.render(results_of(JOBS / "quandong-rise.yml"))


def test_a_page_without_its_template_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "content"
    shutil.copytree(CONTENT, folder)
    (folder / "steps/pocket.md").unlink()
    with pytest.raises(InputFaults, match=r"content/steps/pocket\.md:1:1: there is no template"):
        pages.render(results_of(JOBS / "quandong-rise.yml"), folder)


def test_faults_of_the_page_list_are_all_told_at_once(tmp_path: Path) -> None:
    from builder.pages.manifest import entries

    folder = tmp_path / "content"
    folder.mkdir()
    (folder / "pages.yml").write_text("a.md:\n  titel: x\nb.md:\n  title: y\n  rows: nail\n", "utf-8")
    with pytest.raises(InputFaults) as caught:
        entries(folder)
    told = str(caught.value)
    assert "content/pages.yml:1:1: a.md.title: this key is missing" in told
    assert "content/pages.yml:2:3: a.md.titel: this key is not known here" in told
    assert "content/pages.yml:5:9: b.md.rows: 'nail' is no row of a job" in told
