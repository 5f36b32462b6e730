"""Encodings, bytes that are no text, documents that are something else or have no end."""

from collections.abc import Iterator

from tests.reading.hostile.case import PLAIN, WHOLE, Case, refused, sound, with_bar

TEXT = PLAIN.decode()
HEAD = '<?xml version="1.0" encoding="{}"?>'


def cases() -> Iterator[Case]:
    """Yield the cases."""
    yield sound("byte order mark", b"\xef\xbb\xbf" + PLAIN)
    yield sound("UTF-16", (HEAD.format("UTF-16") + TEXT).encode("utf-16"))
    yield sound(
        "Latin-1", (HEAD.format("ISO-8859-1") + TEXT.replace("P1<", "Flöte<")).encode("latin-1")
    )
    yield refused("invalid UTF-8", PLAIN.replace(b"P1<", b"P\xff\xfe<", 1), "well-formed")
    yield refused("a zero byte", PLAIN.replace(b"P1<", b"P\0<", 1), "well-formed")
    yield refused("wrong encoding named", (HEAD.format("UTF-16") + TEXT).encode(), "well-formed")
    yield refused("unknown encoding", (HEAD.format("klingon") + TEXT).encode(), "well-formed")
    yield refused("cut off", PLAIN[: len(PLAIN) // 2], "well-formed")
    yield refused("cut off in a tag", PLAIN[:-5], "well-formed")
    yield refused("two documents", PLAIN + PLAIN, "well-formed")
    yield refused("wrong end", PLAIN.replace(b"</note>", b"</nota>"), "well-formed")
    yield refused("empty", b"", "empty")
    yield refused("zeros", b"\0" * 1000, "empty")
    yield refused("blank", b" \n\t" * 10, "empty")
    yield refused("plain words", b"Allegro con brio, quarter = 120", "is no MusicXML")
    yield refused("random bytes", bytes(range(128, 256)) * 20, "is no MusicXML")
    yield refused("a picture", b"\x89PNG\r\n\x1a\n" + b"\0" * 100, "is no MusicXML")
    yield refused("a web page", b"<html><body>Score</body></html>", "web page")
    yield refused("an opus", b"<opus><score/></opus>", "opus")
    yield refused("a drawing", b'<svg xmlns="http://www.w3.org/2000/svg"/>', "picture")
    yield refused("other XML", b"<recipe/>", "recipe")
    yield refused("nothing but a root", b"<score-partwise/>", "no bar")
    yield refused("no XML element", b'<?xml version="1.0"?><!-- -->', "XML")
    yield sound(
        "namespace",
        TEXT.replace("<score-p", "<score-p", 1)
        .replace("<score-partwise ", '<score-partwise xmlns="urn:x" ', 1)
        .encode(),
    )
    yield sound("CDATA", TEXT.replace("P1<", "<![CDATA[Flute & <Oboe>]]><", 1).encode())
    yield sound("comments everywhere", TEXT.replace("><", "><!-- x --><").encode())
    yield refused("blank lines before nothing", b" \n\t" * 30_000 + b"x", "well-formed")
    yield refused("comments before nothing", b"!! x\r\r" * 20_000 + b"*", "is no MusicXML")
    yield from _deep()


def _deep() -> Iterator[Case]:
    nested = "<x>" * 100_000 + "</x>" * 100_000
    yield refused("a hundred thousand deep", with_bar(nested), "nested")
    nested = "<x>" * 200 + "</x>" * 200
    yield Case("two hundred deep", with_bar(nested + WHOLE), problem="unknown-element", notes=1)
    words = (
        f"<direction><direction-type><words>{'x' * 12_000_000}</words></direction-type></direction>"
    )
    yield refused("twelve megabytes of words", with_bar(words), "longer texts")
    names = "".join(f' a{number}=">"' for number in range(101))
    crowded = WHOLE.replace("<note>", f"<note{names}>")
    yield refused("a hundred attributes", with_bar(crowded), "attributes")
    yield refused("a hundred thousand attributes", with_bar(crowded * 1000), "attributes")
    yield refused(
        "attributes in other letters",
        (HEAD.format("IBM037") + TEXT.replace("<note>", f"<note{names}>")).encode("cp037"),
        "",
    )
    long_words = WHOLE.replace("<note>", f"<note a='{'=' * 90}'>")
    yield sound("many signs of equality", with_bar(long_words))
    yield refused("a name of a megabyte", f"<{'x' * 1_000_000}/>".encode(), "")
