"""A test that a teacher sets: what counts, also what was not answered, and that it stays where it is while it runs."""

from __future__ import annotations

import pytest

SET = "mode=test&kind=muscles&count=5&seed=7"
BEGIN = "document.querySelector('#content .main').click()"
RIGHT = """
const { app } = await plexusdraw, { options } = app.modes.test.round.question;
document.querySelectorAll(".options button")[options.findIndex(option => option.right)].click();
"""
ENDS = {
    "a button": """
      [...document.querySelectorAll("#content button")].find(b => b.textContent === "End the test").click();
    """,
    "time": """
      const { app: { modes: { test } } } = await plexusdraw;
      test.round.ends = Date.now() - 1;
      test.tick();
    """,
}


@pytest.mark.parametrize("end", ENDS)
def test_what_was_not_reached_counts_as_not_answered(page, end):
    """Who ends after the one answer that is known has one of five right, on the screen, on paper and in the file."""
    page.go(f"{SET}&time=5")
    page.run(BEGIN)
    page.run(RIGHT)
    page.run(ENDS[end])
    assert "Form 7: 1 of 5 right" in page.text("#content .result")
    assert page.text("#content .result").count("no answer") == 4
    page.run("dispatchEvent(new Event('beforeprint'))")
    assert page.run("return document.querySelectorAll('#paper .answers > li').length") == 5
    page.run("dispatchEvent(new Event('afterprint'))")
    kept = page.run("return plexusdraw.then(({ app }) => app.modes.test.memory.lines.length)")
    assert kept <= 1


def test_what_can_no_longer_be_shown_counts_in_a_set_test(page):
    """Else a smaller picture would make a shorter test."""
    page.go("mode=test&kind=name&count=6&seed=3")
    page.run(BEGIN)
    page.run("return plexusdraw.then(({ app }) => app.set({ upto: 'roots' }))")
    page.run("return plexusdraw.then(({ app }) => app.modes.test.finish())")
    page.run("return plexusdraw.then(({ app }) => app.refresh())")
    assert "of 6 right" in page.text("#content .result")


def test_a_round_of_one_s_own_counts_what_was_answered(page):
    page.go("mode=test&kind=muscles&count=5")
    page.run(BEGIN)
    page.run(RIGHT)
    page.run("document.querySelector('#content button.main').click()")
    page.run("[...document.querySelectorAll('#content button')].find(b => b.textContent === 'End').click()")
    assert "1 of 1 right" in page.text("#content .result")


def test_another_address_does_not_leave_a_test_that_runs_and_says_so(page):
    """As the button "back" does: names stay hidden, and the address is that of the test again."""
    page.go(SET)
    page.run(BEGIN)
    page.run("location.hash = 'mode=explore&show=C5'")
    page.wait("return document.getElementById('said').textContent.startsWith('A test is running')")
    page.wait("return location.hash.includes('mode=test')")
    assert page.run("return plexusdraw.then(({ app }) => app.shown.mode)") == "test"
    assert "Question 1 of 5" in page.text("#content")
