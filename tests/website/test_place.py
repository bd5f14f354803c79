import os
from pathlib import Path

import pytest

from builder.errors import CannotWrite
from builder.website.place import MARK, folder_beside, put


def guide_at(folder: Path, words: str) -> Path:
    folder.mkdir(parents=True)
    (folder / "index.html").write_text(f"<head>{MARK}</head>{words}")
    return folder


def test_a_folder_of_something_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "one.jpg").write_text("x")
    stranger = "holds something other than a guide"
    with pytest.raises(CannotWrite, match=stranger), folder_beside(tmp_path / "photos"):
        pass
    assert (tmp_path / "photos" / "one.jpg").is_file()


def test_a_site_of_another_maker_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "www").mkdir()
    (tmp_path / "www" / "index.html").write_text('<meta name="generator" content="something else">')
    with pytest.raises(CannotWrite), folder_beside(tmp_path / "www"):
        pass


@pytest.mark.parametrize("kind", ["file", "link"])
def test_a_file_or_link_of_that_name_is_left_alone(tmp_path: Path, kind: str) -> None:
    out = tmp_path / "site"
    if kind == "file":
        out.write_text("mine")
    else:
        out.symlink_to(guide_at(tmp_path / "elsewhere", "old"))
    with pytest.raises(CannotWrite, match="something that is not a folder"), folder_beside(out):
        pass
    assert out.is_symlink() == (kind == "link")


def test_an_empty_folder_is_used(tmp_path: Path) -> None:
    out = tmp_path / "site"
    out.mkdir()
    with folder_beside(out) as work:
        put(guide_at(work / "new", "new"), out)
    assert (out / "index.html").read_text().endswith("new")


def test_the_old_site_comes_back_when_the_new_one_cannot_be_put_in_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = guide_at(tmp_path / "site", "old")
    rename = os.rename

    def refuse(source: Path, target: Path) -> None:
        if Path(source).name == "new":
            raise OSError(5, "Input/output error")
        rename(source, target)

    monkeypatch.setattr(os, "rename", refuse)
    with pytest.raises(OSError, match="Input/output"), folder_beside(out) as work:
        put(guide_at(work / "new", "new"), out)
    assert (out / "index.html").read_text().endswith("old")


def test_a_stop_between_the_two_renames_is_made_good_by_the_next_build(tmp_path: Path) -> None:
    guide_at(tmp_path / ".site.before", "old")
    out = tmp_path / "site"
    with folder_beside(out):
        assert (out / "index.html").read_text().endswith("old")
    assert not (tmp_path / ".site.before").exists()


def test_what_a_stop_after_both_renames_left_is_cleared_away(tmp_path: Path) -> None:
    out = guide_at(tmp_path / "site", "new")
    guide_at(tmp_path / ".site.before", "old")
    with folder_beside(out):
        pass
    assert sorted(path.name for path in tmp_path.iterdir()) == ["site"]


def test_the_work_folder_is_gone_after_a_failure(tmp_path: Path) -> None:
    def fail_halfway() -> None:
        with folder_beside(tmp_path / "site") as work:
            (work / "half.html").write_text("x")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail_halfway()
    assert not list(tmp_path.iterdir())
