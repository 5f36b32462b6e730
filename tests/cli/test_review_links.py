"""What explains what, in the terminal."""

from typing import Any

from redstave.cli.review import links


def finding(slug: str, bar: str, **more: Any) -> dict[str, Any]:
    """Return a finding as the review's data has it."""
    return {"slug": slug, "places": [{"bar": bar}], **more}


def test_two_causes_with_one_reason_are_told_once() -> None:
    """The reason is said once, with both causes before it."""
    causes = {"a": finding("entry-level-missing", "3"), "b": finding("entry-level-missing", "9")}
    why = "since that entry the part has not been told how loud it is"
    told = [{"key": key, "because": why} for key in causes]
    (line,) = links(finding("tune-covered", "10", explained_by=told), causes)
    assert line.count(why) == 1
    assert "(bar 3)" in line
    assert "(bar 9)" in line


def test_two_reasons_are_two_sentences() -> None:
    """What hangs on different things says so one by one."""
    causes = {
        "a": finding("entry-level-missing", "3"),
        "b": finding("brass-at-par-overpowers", "9"),
    }
    told = [{"key": key, "because": f"so {key} it is"} for key in causes]
    assert len(list(links(finding("tune-covered", "10", explained_by=told), causes))) == 2
