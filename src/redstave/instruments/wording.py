"""The grammar of part names: numbers, key, plural, doublings, companions, "solo" and "div."."""

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from redstave.instruments.lexicon import Entry, Lexicon, Token, lexicon, tokenise

_ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7, "VIII": 8}
_ROMAN_TOKEN = re.compile(r"^(I{1,3}|IV|VI{0,3})(?:mo|do|o|a)?$")
COUNTED = frozenset({"heads", "things", "desks"})  # what a number beside it counts
BASS = frozenset({"bass", "basso", "basse"})
_KEY_TOKEN = re.compile(r"^[A-H](?:b|bb|#)?$|^(?:As|Es|Des|Ges|Fis)$")


class Item(NamedTuple):
    """One understood piece of a name."""

    kind: str
    text: str
    entry: Entry | None = None
    number: int = 0
    ordinal: bool = False


@dataclass
class Reading:
    """What one name or abbreviation says by itself; built up item by item."""

    text: str
    instruments: tuple[str, ...] = ()
    companions: tuple[str, ...] = ()
    candidates: tuple[str, ...] = ()
    numbers: tuple[int, ...] = ()
    count: int = 0
    plural: bool = False
    short: bool = False
    keys: list[str] = field(default_factory=list)
    role: str = ""
    divided: int = 0
    leftover: tuple[str, ...] = ()
    turn: bool = False  # a word of change stands before the instrument: "muta in Piccolo"

    @property
    def key(self) -> str:
        """The keys named, "Ab, Db" for two timpani."""
        return ", ".join(dict.fromkeys(self.keys))


def read_name(text: str) -> Reading:
    """Read one name; nothing understood gives a Reading without instruments."""
    reading = Reading(" ".join(text.split()))
    items = _counted(_single_letter(_items(tokenise(text))), reading)
    first = next((i for i, item in enumerate(items) if item.kind == "name"), len(items))
    link = ""
    for position, item in enumerate(items):
        link = _take(reading, item, link, before=position < first)
    _settle_numbers(reading, items, first)
    return reading


def _counted(items: list[Item], reading: Reading) -> list[Item]:
    """Take out numbers that are no player's: "(3 players)", "(4 drums)", "desk 2", "1. Pult"."""
    kept: list[Item] = []
    for at, item in enumerate(items):
        desk = at > 0 and items[at - 1].kind == "desks" and item.kind == "number"
        if item.kind not in COUNTED:
            kept += [] if desk else [item]
        elif kept and kept[-1].kind == "number" and not _before_number(items, at):
            number = kept.pop().number
            reading.count = number if item.kind == "heads" else reading.count
    return kept


def _before_number(items: list[Item], at: int) -> bool:
    """Whether the number of a desk follows: "Violin 1 desk 2"."""
    return items[at].kind == "desks" and any(i.kind == "number" for i in items[at + 1 : at + 2])


def _take(reading: Reading, item: Item, link: str, before: bool) -> str:
    """Take one item into the reading; return the link that stands before the next one."""
    if item.kind == "name" and item.entry is not None:
        if link == "(" and item.text in BASS and reading.instruments:
            _take_bass(reading, item.text)
            return ""
        _take_instrument(reading, item.entry, link)
        return ""
    if item.kind == "doubling" and before:
        reading.turn = True
    if item.kind in {"doubling", "and", "or", "/", "("}:
        return item.kind if not before else link
    if item.kind == "key":
        reading.keys.append(item.text)
    elif item.kind == "natural" and reading.keys:
        reading.keys = [item.text]
    elif item.kind == "solo":
        reading.role = "solo"
    elif item.kind == "divided":
        reading.divided = item.number
    elif item.kind == "unknown":
        reading.leftover += (item.text,)
    return link


def _take_bass(reading: Reading, word: str) -> None:
    """Make the instrument the bass of its kind, where there is one: "Trombone 3 (Bass)"."""
    bass = f"bass-{reading.instruments[0]}"
    if bass in lexicon().families:
        reading.instruments = (bass, *reading.instruments[1:])
    else:
        reading.leftover += (word,)


def _take_instrument(reading: Reading, entry: Entry, link: str) -> None:
    instrument = entry.instruments[0]
    if not reading.instruments:
        reading.instruments = (instrument,)
        reading.candidates = entry.instruments if len(entry.instruments) > 1 else ()
        reading.plural, reading.short = entry.plural, entry.short
    elif instrument in reading.instruments + reading.companions or link == "or":
        return
    elif link == "and":
        reading.companions += (instrument,)
    else:
        reading.instruments += (instrument,)


def _settle_numbers(reading: Reading, items: list[Item], first: int) -> None:
    """Tell player numbers from head counts, and a doubling from a companion."""
    before = [item for item in items[:first] if item.kind == "number"]
    last = _end_of_first_instrument(items, first)
    after = [item for item in items[first:last] if item.kind == "number"]
    if len(before) == 1 and _counts_up(before[0], items, reading.plural):
        reading.count = before[0].number
        before = []
        after = after if len(after) >= reading.count else []  # "(2. auch …)": who changes
    stop = last if reading.instruments else len(items)
    reading.numbers = _expanded(
        [i for i in items[:stop] if i.kind in {"number", "-"}], before + after
    )
    kin = lexicon().kin
    if len(reading.numbers) == 1 and not reading.plural and reading.companions:
        same = [
            c for c in reading.companions if c in kin and kin[c] == kin.get(reading.instruments[0])
        ]
        reading.instruments += tuple(same)
        reading.companions = tuple(c for c in reading.companions if c not in same)


def _counts_up(number: Item, items: list[Item], plural: bool) -> bool:
    """Whether a number before the name says how many: "2 Oboi", not "Perc. 2 (Triangle)"."""
    leads = not any(one.kind in {"unknown", "percussion"} for one in items[: items.index(number)])
    return leads and not number.ordinal and (plural or number.number > 1)


def _end_of_first_instrument(items: list[Item], first: int) -> int:
    """Numbers after a second instrument's name belong to that one."""
    later = [i for i, item in enumerate(items) if item.kind == "name" and i > first]
    return later[0] if later else len(items)


def _expanded(items: list[Item], wanted: list[Item]) -> tuple[int, ...]:
    """Write out ranges: I–IV gives 1, 2, 3, 4; everything else stays as it stands."""
    numbers: list[int] = []
    dash = False
    for item in items:
        if item.kind == "-":
            dash = bool(numbers)
            continue
        if item not in wanted:
            continue
        if dash and numbers and item.number > numbers[-1] + 1:
            numbers.extend(range(numbers[-1] + 1, item.number))
        numbers.append(item.number)
        dash = False
    return tuple(sorted(dict.fromkeys(numbers)))


def _items(tokens: tuple[Token, ...]) -> list[Item]:
    """Turn tokens into items, the longest known phrase first."""
    words = lexicon()
    items: list[Item] = []
    rest = [part for token in tokens for part in _taken_apart(token, words)]
    while rest:
        item, used = _next(rest, items, words)
        items.append(item or Item("unknown", rest[0].written))
        del rest[:used]
    return [item for item in items if item.kind != "ignored"]


def _next(rest: list[Token], done: list[Item], words: Lexicon) -> tuple[Item | None, int]:
    token = rest[0]
    if token.kind == "number":
        return Item("number", token.text, None, int(token.text), token.ordinal), 1
    for rule in (_phrase, _ordinal, _link, _key, _roman, _sign):
        item, used = rule(rest, done, words)
        if item is not None:
            return item, used
    return None, 1


def _phrase(rest: list[Token], done: list[Item], words: Lexicon) -> tuple[Item | None, int]:
    """Match the longest name or role; signs inside a name do not matter."""
    for length in range(words.longest, 0, -1):
        matched = _matched(rest, length)
        if matched is None:
            continue
        texts, used = matched
        if texts in words.names and (length > 1 or len(texts[0]) > 1):
            return Item("name", " ".join(texts), words.names[texts]), used
        role = words.roles.get(texts, "")
        if role and (length > 1 or len(texts[0]) > 1):
            return _role_item(role, rest, done, used)
    return None, 1


def _ordinal(rest: list[Token], _done: list[Item], words: Lexicon) -> tuple[Item | None, int]:
    """Match a number written out: "Violini secondi", "Erste Violinen"."""
    number = words.ordinals.get(rest[0].text) if rest[0].kind == "word" else None
    return (None if number is None else Item("number", rest[0].text, None, number, True)), 1


def _matched(rest: list[Token], length: int) -> tuple[tuple[str, ...], int] | None:
    """Return the next `length` words and how many tokens they take; hyphens may stand between."""
    texts: list[str] = []
    for position, token in enumerate(rest):
        if token.kind == "word":
            texts.append(token.text)
            if len(texts) == length:
                return tuple(texts), position + 1
        elif token.text != "-" or not texts:
            return None
    return None


def _role_item(
    role: str, rest: list[Token], done: list[Item], used: int
) -> tuple[Item | None, int]:
    if role == "divided":
        return _division(rest, used)
    if role in {"flat", "sharp", "natural"}:
        return _alteration(role, done), used
    if role == "in":
        return _keys_after_in(rest, used)
    return Item(role, role), used


def _division(rest: list[Token], used: int) -> tuple[Item, int]:
    """Take "div.", "div. in 4 P.", "div(3)": the number belongs to the division."""
    number, taken = 1, used
    for position in range(used, min(used + 4, len(rest))):
        token = rest[position]
        if token.kind == "number":
            number, taken = int(token.text), position + 1
            break
        if token.text not in {"in", "en", "a", "e", "(", "-"}:
            break
    while taken < len(rest) and rest[taken].text in {"p", ")", "parti", "parts", "parties"}:
        taken += 1
    return Item("divided", "div", None, number), taken


def _alteration(role: str, done: list[Item]) -> Item:
    """Alter the key named just before: "B flat", "si bémol", "[B natural]"."""
    before = next((item for item in reversed(done) if item.kind == "key"), None)
    if before is None:
        return Item("ignored", role)
    letter = before.text[0]
    if role == "natural":
        return Item("natural", letter)
    done.remove(before)
    return Item("key", letter + ("b" if role == "flat" else "#"))


def _keys_after_in(rest: list[Token], used: int) -> tuple[Item | None, int]:
    """After "in" or "en" the next word is a key, even a solmisation syllable."""
    if used < len(rest) and rest[used].kind == "word":
        key = lexicon().keys.get(rest[used].text)
        if key:
            return Item("key", _letter(rest[used].text, key)), used + 1
    return Item("ignored", "in"), used


def _letter(word: str, key: str) -> str:
    return "Bb" if word == "b" else key


def _link(rest: list[Token], done: list[Item], words: Lexicon) -> tuple[Item | None, int]:
    """Match "e", "u", "o", "&": lower case always, a capital only right after an instrument."""
    token = rest[0]
    role = words.roles.get((token.text,), "")
    if role not in {"and", "or"} or len(token.text) > 1:
        return None, 1
    capital = token.written.isupper()
    if capital and not (done and done[-1].kind == "name" and len(rest) > 1):
        return None, 1
    return Item(role, role), 1


def _key(rest: list[Token], _done: list[Item], words: Lexicon) -> tuple[Item | None, int]:
    token = rest[0]
    if token.kind == "word" and _KEY_TOKEN.match(token.written):
        return Item("key", _letter(token.text, words.keys[token.text])), 1
    return None, 1


def _roman(rest: list[Token], done: list[Item], _words: Lexicon) -> tuple[Item | None, int]:
    match = _ROMAN_TOKEN.match(rest[0].written)
    if not match or (match[1] == "V" and not done):
        return None, 1
    return Item("number", match[1], None, _ROMAN[match[1]], True), 1


def _sign(rest: list[Token], _done: list[Item], _words: Lexicon) -> tuple[Item | None, int]:
    token = rest[0]
    if token.kind != "sign":
        return None, 1
    kinds = {"&": "and", "+": "and", "/": "/", "(": "(", "-": "-"}
    return Item(kinds.get(token.text, "ignored"), token.text), 1


def _taken_apart(token: Token, words: Lexicon) -> tuple[Token, ...]:
    """Take run-on words apart ("bassoe", "Trombonitenori"), the longest first part first."""
    word = token.text
    if token.kind == "word" and word not in words.words:
        for cut in range(len(word) - 1, 2, -1):
            if word[:cut] in words.words and word[cut:] in words.words:
                return tuple(Token("word", part, part) for part in (word[:cut], word[cut:]))
    return (token,)


def _single_letter(items: list[Item]) -> list[Item]:
    """When a name is letters and numbers only, the letters are the instrument ("V. 1.", "Db.")."""
    if any(item.kind == "name" for item in items) or not items:
        return items
    first = items[0]
    low, names = first.text.lower(), lexicon().names
    entry = names.get(tuple(low)) or names.get((low[:1],))
    if entry and first.kind in {"key", "unknown"} and len(first.text) <= 2:
        return [Item("name", first.text, entry), *items[1:]]
    return items
