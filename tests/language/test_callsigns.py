"""Who speaks and who is spoken to."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.language import read_call
from drill.language.letters import LETTERS
from drill.language.meaning import Context
from drill.language.numbers import SPOKEN

HERE = Context("Larkspur 04W", "Orrinfell Approach")
WORD_OF = {letter: word for word, letter in reversed(LETTERS.items()) if len(word) > 3}
NAMES = ("Larkspur", "Thistle", "Foxglove", "Mallow", "Cinder", "Quince")


@st.composite
def callsigns(draw):
    digits = draw(st.text("0123456789", min_size=2, max_size=3))
    letters = draw(st.text("BCDEFGHJKLMNPQRSTUVWXYZ", min_size=1, max_size=2))
    return f"{draw(st.sampled_from(NAMES))} {digits}{letters}"


def spoken(characters):
    return " ".join(SPOKEN[int(c)] if c.isdecimal() else WORD_OF[c.lower()] for c in characters)


@given(callsigns(), st.sampled_from(["written", "spoken", "short written", "short spoken", "small"]))
def test_a_callsign_is_known_in_every_form(callsign, form):
    name, rest = callsign.split()
    said = {"written": callsign, "spoken": f"{name} {spoken(rest)}", "short written": rest,
            "short spoken": spoken(rest), "small": callsign.lower()}[form]
    call = read_call(f"Orrinfell Approach, {said}, lost the vacuum system", Context(callsign, "Orrinfell Approach"))
    assert (call.callsign, call.facility, call.equipment) == ("given", True, ("vacuum_system",))


@pytest.mark.parametrize("said", ["Larkspur four zero whiskey", "Thistle 9VR", "Larkspur 04X",
                                  "Burdock zero four whiskey"])
def test_another_airplanes_callsign_is_wrong(said):
    assert read_call(f"Orrinfell Approach, {said}, request lower", HERE).callsign == "wrong"


@pytest.mark.parametrize("said", [
    "request lower", "heading two seven zero, six thousand", "squawking seven seven zero zero", "two souls on board",
    "we're over Penrose at five", "mayday mayday mayday, engine failure"])
def test_numbers_that_are_no_callsign_are_not_taken_for_one(said):
    assert read_call(f"Orrinfell Approach, {said}", HERE).callsign == "absent"


def test_a_mayday_right_before_the_callsign_stays_a_mayday():
    call = read_call("mayday 04W engine failure", HERE)
    assert (call.urgency, call.callsign) == ("mayday", "given")


@pytest.mark.parametrize(("said", "addressed"), [
    ("Orrinfell, 04W, request lower", True), ("approach, 04W, request lower", True), ("orinfell approach 04W", True),
    ("04W, Orrinfell Approach, request lower", True), ("Orrinfell Tower, 04W", False),
    ("04W, landing Orrinfell", False),
    ("04W, request direct Orrinfell", False), ("tower, 04W", False)])
def test_the_facility_is_addressed_by_its_name_or_its_function_and_by_nothing_else(said, addressed):
    assert read_call(said, HERE).facility is addressed


def test_an_own_name_like_the_units_is_no_misspelling_of_it():
    here = Context("Yarrow 55T", "Harrow Approach")
    said = read_call("yarrow five five tango, request no-gyro vectors to Harrow", here)
    assert (said.callsign, said.facility) == ("given", False)


@pytest.mark.parametrize(("callsign", "said", "heard"), [
    ("Siskin 400", "one two six decimal four, siskin four hundred, good night", "given"),
    ("Gannet 912", "gannet nine hundred and twelve, level six", "given"),
    ("Gannet 912", "gannet nine hundred twelve with you", "given"),
    ("Siskin 400", "siskin five hundred, request lower", "wrong"),
    ("Siskin 400", "climbing four hundred feet", "absent"), ("Shuttle 529", "ok 529 understood", "given"),
    ("Merrow 14C", "roger 35L", "absent"), ("Merrow 14C", "2hr fuel, two souls", "absent")])
def test_hundreds_are_figures_of_a_callsign_and_amounts_are_none(callsign, said, heard):
    assert read_call(said, Context(callsign, "Torvale Approach")).callsign == heard


@pytest.mark.parametrize(("facility", "said", "addressed"), [
    ("Sallow Approach", "shallow turns are all we can do", False), ("Sallow Approach", "sallow, vacuum is out", True),
    ("Ardenlow Radar", "negative radar contact?", False), ("Ardenlow Radar", "radar vectors please", False),
    ("Ardenlow Radar", "radar, request lower", True), ("Holcroft Ground", "grnd merrow 14c, taxi back", True),
    ("Torvale Center", "got a pitot problem here Torvale, merrow 14c", True),
    ("Torvale Center", "cancel the mayday Torvale, merrow 14c", True),
    ("Torvale Center", "the panel makes no sense, Torvale help", True),
    ("Torvale Center", "the DG is out, Torvale do you read", True),
    ("Torvale Center", "we are over here at Torvale, merrow 14c", False)])
def test_a_unit_is_spoken_to_in_the_midst_of_a_call_and_what_is_like_its_name_is_none(facility, said, addressed):
    assert read_call(said, Context("Merrow 14C", facility)).facility is addressed
