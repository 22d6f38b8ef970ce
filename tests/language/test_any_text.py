"""Whatever is typed, reading gives an answer, the same each time."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from drill.clean import clean_line
from drill.language import read, read_call
from drill.language.meaning import Action, Call, Context, Transmit

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Penrose",))
WORDS = ["cover", "the", "AI", "and", "DG", "turn", "left", "right", "heading", "270", "two", "four", "zero",
         "descend", "climb", "maintain", "5000", "no", "correction", ",", ".", "and", "then", "or", "tell",
         "approach", "request", "vectors", "partial", "panel", "vacuum", "failed", "pitot", "heat", "on", "off",
         "not", "don't", "if", "wait", "30", "seconds", "checklist", "squawk", "7700", "mayday", "larkspur", "04W",
         "four", "whiskey", "unable", "stand", "by", "Penrose", "to", "at", "hour", "half", "fuel", "souls", "x",
         "ray", "tree", "thousand", "hundred", "point", ";", "say", '"', "it", "frob", "hi", "AH", "T/C", "alt",
         "L", "s", "500", "feet", "stop", "using", "for", "set", "29.86", "track", "localizer"]
lines = st.lists(st.sampled_from(WORDS), max_size=14).map(" ".join)


@given(st.text(max_size=200))
@example("İ" * 40)
@example("'s 's n't ' 4' + 2+15+ 1,000,0")
@example(", tell approach we lost it")
@example('"; ; say "a; b" ; "turn left')
@example("\u202e\x00\ud800 mayday")
def test_any_text_is_read_without_an_error(text):
    assert all(isinstance(action, Action) for action in read(text, HERE))
    assert isinstance(read_call(text, HERE), Call)


LONGEST = 10_000


@settings(max_examples=25, deadline=None)
@given(st.text(min_size=1, max_size=40), st.text(max_size=40))
@example("turn left ", "")
@example("no ", "correction ")
@example("larkspur ", "x-ray ")
@example("hour and a half ", "1+45 ")
@example("over the <ai> ", "\x1b[31m")
@example("lost the vacuum and ", "[bold]if ")
def test_ten_thousand_characters_of_anything_are_read(piece, other):
    text = ((piece + other) * LONGEST)[:LONGEST]
    assert read(text, HERE)
    assert isinstance(read_call(text, HERE), Call)


@given(st.text(max_size=120))
@example("turn left 240 \x1b[2J and say [red]mayday[/red] \u202e")
def test_nothing_that_could_move_a_cursor_leaves_the_reader(text):
    said = [value for action in read(text, HERE) for value in action.as_labels().values() if isinstance(value, str)]
    said += [action.meaning.words for action in read(text, HERE) if isinstance(action, Transmit)]
    said.append(read_call(text, HERE).words)
    assert all(each == clean_line(each) for each in said)


@given(lines)
def test_any_words_of_the_trade_in_any_order_are_read_the_same_each_time(line):
    first = read(line, HERE)
    assert first
    assert first == read(line, HERE)
    assert read_call(line, HERE) == read_call(line, HERE)


PARTS = ["turn left", "don't turn left", "level wings", "do not climb", "look at the AI", "scratch that", "no", "frob",
         "tell approach we lost it", "if it fails", "cover it", ""]


@settings(deadline=None)
@given(st.lists(st.sampled_from(PARTS), max_size=30), st.sampled_from([";", "; ", ", ", ". ", " then ", " and "]))
@example(["don't turn left", *["level wings"] * 22], "; ")
@example(["do not climb", "look at the AI"] * 11, ";")
def test_any_number_of_orders_in_a_line_is_read(parts, joint):
    assert read(joint.join(parts), HERE)


@given(lines, st.sampled_from([Context("", ""), Context("318", "Center"), Context("Larkspur", "Orrinfell"),
                               Context("N1", "A B C D")]))
def test_no_context_is_too_strange(line, context):
    assert read(line, context)
    read_call(line, context)


@given(st.text("aeio 0123456789,.'+:", max_size=60))
def test_numbers_and_breaks_in_any_order_are_read(text):
    read(text, HERE)
    read_call(text, HERE)
