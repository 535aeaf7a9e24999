"""A recipe of the demo was worked by: its history is that of the story's presses, and its page has something to say."""

from ledger.bootstrap import OWNER
from ledger.events.intervention import Intervention
from ledger.looks import Change
from ledger.ports import Ledger
from ledger.usecases.bench import look_at_bench
from ledger.usecases.recipes import RecipeLook, look_at_recipe
from ledger.worked import Standing

NAME = "Half a day, warm"


def worked(told: Ledger) -> RecipeLook:
    (recipe,) = [each for each in look_at_bench(told, OWNER).recipes if each.name == NAME]
    return look_at_recipe(told, OWNER, recipe.id)


def test_every_dry_hot_press_of_the_story_is_in_its_history_once(told: Ledger) -> None:
    look = worked(told)
    entries = [seq for run in look.recipe.runs for _, seq in run.told]
    with told.log.read() as reader:
        events = [reader.entry(seq).event for seq in entries]
        hot = [
            entry.seq
            for book in {each.book for each in look.passages}
            for entry in reader.of_book(book)
            if isinstance(entry.event, Intervention) and entry.event.technique == "hot-press-dry"
        ]
    assert {each.technique for each in events if isinstance(each, Intervention)} == {"hot-press-dry"}
    assert sorted(entries) == sorted(hot)
    assert len(entries) == len(set(entries))
    assert any(len(run.told) > 1 for run in look.recipe.runs), "one load held several books"


def test_it_was_adjusted_once_and_its_page_has_every_way_in_which_it_can_stand(told: Ledger) -> None:
    look = worked(told)
    assert [(each.number, each.steps[0].values["settings.set_celsius"]) for each in look.recipe.states] == [
        (1, "60"),
        (2, "65"),
    ]
    standings = {each.standing for each in look.passages}
    assert standings == {Standing.SEEN, Standing.WAITING, Standing.OVERTAKEN}


def test_what_it_came_to_is_what_the_looks_of_the_story_say(told: Ledger) -> None:
    # Read off the story by hand: on 2 March 2024 three bends and folds were gone, on the same day a bend was gone and
    # a dent less, on 3 March a subscription fold was less. Of the second copies three were gone and two less on
    # 8 February 2025, three and three on 5 July, four and two on 7 February 2026, where a waviness does not count that
    # moisture had reached too.
    assert worked(told).in_all.changes == {Change.GONE: 4 + 3 + 3 + 4, Change.LESSENED: 2 + 2 + 3 + 2}
