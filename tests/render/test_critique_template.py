"""The teacher's own template: it may change anything and break nothing; faults are named."""

from pathlib import Path

import pytest

from redstave.base.errors import InputError
from redstave.render.critique_template import design
from tests.render.letters import EVIL, hostile, letter, made
from tests.render.test_letter import read


def written(folder: Path, **files: str) -> Path:
    """Write files named with "__" for "." into a folder and return it."""
    for name, text in files.items():
        (folder / name.replace("__", ".")).write_text(text, encoding="utf-8")
    return folder


def test_one_block_can_be_changed(tmp_path: Path) -> None:
    """A template that extends ours changes its own block and keeps all others."""
    folder = written(
        tmp_path,
        critique__html__j2='{% extends "redstave/critique.html.j2" %}'
        "{% block opening %}<p>Dear {{ view.entry }},</p>{% endblock %}",
    )
    text = read(made(letter(), design(folder)).html()).text
    assert "Dear entry-heron," in text
    assert "Thank you for this score." not in text
    assert "What matters most" in text


def test_a_template_of_the_teacher_s_own_is_used(tmp_path: Path) -> None:
    """A template that extends nothing is all there is, and what it prints is escaped."""
    folder = written(tmp_path, critique__html__j2="<p>{{ view.opening[0] }}</p>")
    html = made(hostile(), design(folder)).html()
    assert html.startswith("<p>&#34;&gt;&lt;script&gt;")
    assert EVIL not in html


def test_styles_replace_or_add(tmp_path: Path) -> None:
    """critique.css stands in place of ours, additions.css after it."""
    added = made(letter(), design(written(tmp_path, additions__css="p { color: green }"))).html()
    assert "p { color: green }" in added
    assert "--paper:" in added
    own = made(letter(), design(written(tmp_path, critique__css="p { color: blue }"))).html()
    assert "p { color: blue }\n" in own.replace("p { color: blue }p", "p { color: blue }\np")
    assert "--paper:" not in own


def test_a_style_cannot_end_the_style_element(tmp_path: Path) -> None:
    """What looks like the end of a style element stays inside it."""
    folder = written(tmp_path, additions__css="/* </style><script>x</script> */")
    found = read(made(letter(), design(folder)).html())
    assert found.tags["script"] == 0


@pytest.mark.parametrize(
    ("template", "said"),
    [
        ("<p>\n{% if view %}\n", "line 2"),
        ("<p>\n\n{{ view.salutation }}\n", 'line 3: there is no "salutation"; mend'),
        ("<p>\n{{ 1 / 0 }}\n", "line 2"),
        ("{{ view.entry | nothing }}", "line 1"),
        ("\n{{ view.entry.__class__ }}", "line 2"),
        ("\n{{ ''.__class__.__mro__ }}", "line 2"),
        ("{% include 'other.html' %}", "other.html"),
        ("{% for n in range(999999999) %}{% endfor %}", "line 1"),
    ],
)
def test_a_fault_is_told_with_its_line(tmp_path: Path, template: str, said: str) -> None:
    """Syntax, unknown names, forbidden attributes, endless loops: one sentence with the line."""
    folder = written(tmp_path, critique__html__j2=template)
    with pytest.raises(InputError) as caught:
        made(letter(), design(folder)).html()
    assert said in str(caught.value)
    assert "critique.html.j2" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_fault_in_a_block_is_told_with_its_line(tmp_path: Path) -> None:
    """The line is that of the teacher's file, not of ours around it."""
    folder = written(
        tmp_path,
        critique__html__j2='{% extends "redstave/critique.html.j2" %}\n'
        "{% block next %}\n\n{{ nobody }}{% endblock %}",
    )
    with pytest.raises(InputError, match=r"critique\.html\.j2, line 4: 'nobody' is undefined"):
        made(letter(), design(folder)).html()


def test_a_folder_without_a_template_is_refused(tmp_path: Path) -> None:
    """An empty or missing folder is told what it should hold."""
    for folder, said in ((tmp_path, r"critique\.css"), (tmp_path / "missing", "no folder")):
        with pytest.raises(InputError, match=said):
            design(folder)


def test_templates_outside_the_folder_are_out_of_reach(tmp_path: Path) -> None:
    """A template cannot read a file beside its folder."""
    (tmp_path / "secret.txt").write_text("secret", encoding="utf-8")
    folder = tmp_path / "mine"
    folder.mkdir()
    written(folder, critique__html__j2="{% include '../secret.txt' %}")
    with pytest.raises(InputError):
        made(letter(), design(folder)).html()
