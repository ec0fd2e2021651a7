"""Works and turns: tokens nobody guesses, tabs that do not mix, newer wishes that stop older ones."""

import threading

import pytest
from tests.patience import HANG_S, UNHURRIED_S
from tests.web.pages import ask, opened

from gripway.web import opening
from gripway.web.asking import asked_of
from gripway.web.size_limits import MOST_HELD_NOTES, MOST_NOTES, MOST_WORKS
from gripway.web.solver_pool import SolverPool
from gripway.web.turns import ENGRAVING, ROUTE, Queue, StoppedError, Turn, Turns
from gripway.web.work import OpenWork
from gripway.web.works import Works


def work(name: str = "a") -> OpenWork:
    """A work of nothing."""
    return OpenWork(name, b"", SolverPool())


def test_the_one_unused_for_longest_goes() -> None:
    """Beyond the most there may be, the work that nobody asked for goes; one asked for stays."""
    works = Works()
    tokens = [works.add(work(str(k))) for k in range(MOST_WORKS)]
    assert works.find(tokens[0])
    works.add(work("one more"))
    assert works.find(tokens[0]) is not None
    assert works.find(tokens[1]) is None


@pytest.mark.whole
def test_long_scores_make_room_for_each_other() -> None:
    """At the most notes all are held, one beyond it lets the one unused for longest go; never the newest."""
    works, long = Works(), MOST_HELD_NOTES // 3
    tokens = [works.add(read(long)) for _ in range(3)]
    assert all(map(works.find, tokens))
    works.add(read(1))
    assert [works.find(token) is None for token in tokens] == [True, False, False]
    assert works.find(works.add(read(MOST_NOTES)))


def read(notes: int) -> OpenWork:
    """A work of so many notes, as far as it has been read."""
    made = opening.work_of(opening.OpeningSource(notes="E6 " * notes), SolverPool())
    assert len(made.reading(asked_of({})).passage.notes) == made.notes == notes
    return made


def test_one_at_work_stays() -> None:
    """The one unused for longest is at work: the next idle one goes in its place, and nothing is stopped."""
    works = Works()
    running = work("running")
    tokens = [works.add(running), *(works.add(work(str(k))) for k in range(MOST_WORKS - 1))]
    turn = running.turns.begin(ROUTE)
    works.add(work("one more"))
    turn.pulse()
    assert works.find(tokens[0]) is running
    assert works.find(tokens[1]) is None


def test_a_tab_that_opens_again_lets_its_old_work_go() -> None:
    """A reload names the work it had: that is not held beside the new one; a refused opening leaves it."""
    first = opened(notes="E6 F#6")["work"]
    refused = ask("open", first, notes="H6")
    assert refused.status_code == 400
    assert ask("route", first, wishes={}).status_code == 200
    second = ask("open", first, notes="E6 F#6").json()["work"]
    assert ask("route", first, wishes={}).status_code == 410
    assert ask("route", second, wishes={}).status_code == 200


def test_tokens_are_long_and_all_different() -> None:
    """192 random bits each."""
    works = Works()
    tokens = {works.add(work()) for _ in range(50)}
    assert len(tokens) == 50
    assert min(map(len, tokens)) >= 32


@pytest.mark.parametrize("token", ["", "x", "../../etc/passwd"])
def test_an_unknown_work_is_gone(token: str) -> None:
    """Without its token there is no way to a work; the page is told to open it again."""
    answer = ask("route", token, wishes={})
    assert answer.status_code == 410
    assert answer.json()["error"]["code"] == "no-work"


def test_two_tabs_do_not_mix() -> None:
    """Two works asked in turn, one with pins: each gets its own notes and numbers, pins do not pass over."""
    first, second = opened(notes="E6 F#6 G#6 A6")["work"], opened(notes="D6 E6 F6")["work"]
    one, two = ask("route", first, wishes={}).json(), ask("route", second, wishes={}).json()
    assert [note["pitch"] for note in one["notes"]] == ["E6", "F#6", "G#6", "A6"]
    assert [note["pitch"] for note in two["notes"]] == ["D6", "E6", "F6"]
    grip = ask("note", first, wishes={}, index=1).json()["grips"][-1]["grip"]
    pins = [{"note": one["notes"][1]["id"], "grip": grip}]
    pinned = ask("route", first, wishes={"pins": pins}).json()
    assert pinned["notes"][1]["grip"] == grip
    again = ask("route", second, wishes={}).json()
    assert [note["grip"] for note in again["notes"]] == [note["grip"] for note in two["notes"]]
    assert ask("route", first, wishes={}).json()["notes"] == one["notes"]


def test_a_newer_wish_stops_the_older_one() -> None:
    """A second turn for the route takes the first away; a turn of another kind leaves it."""
    turns = Turns()
    first = turns.begin(ROUTE)
    turns.begin("note")
    first.pulse()
    turns.begin(ROUTE)
    with pytest.raises(StoppedError):
        first.pulse()


def test_whoever_waits_can_be_stopped() -> None:
    """A turn that waits for the work ends at once when it is stopped, while the other works on."""
    turns = Turns()
    holding, waiting = turns.begin("note"), turns.begin("same")
    met: list[BaseException] = []

    def wait() -> None:
        try:
            with turns.held("note", waiting):
                pass
        except StoppedError as stopped:
            met.append(stopped)

    with turns.held("note", holding):
        thread = threading.Thread(target=wait)
        thread.start()
        waiting.stop()
        thread.join(HANG_S)
        assert not thread.is_alive()
    assert len(met) == 1


class Asking(Turn):
    """A turn that tells when it has begun to wait."""

    def __init__(self) -> None:
        super().__init__(UNHURRIED_S)
        self.waits = threading.Event()

    def pulse(self) -> None:
        """Told at the first pulse."""
        self.waits.set()
        super().pulse()


def test_who_lets_go_comes_after_who_waits() -> None:
    """OpenWork in many steps, such as the learning at the start, lets a request in after the present one."""
    queue, going, asking = Queue(), Turn(UNHURRIED_S), Asking()
    order: list[str] = []

    def ask_once() -> None:
        with queue.held(asking):
            order.append("who waited")

    thread = threading.Thread(target=ask_once)
    with queue.held(going):
        thread.start()
        assert asking.waits.wait(HANG_S)
    with queue.held(going):
        order.append("who let go")
    thread.join(HANG_S)
    assert order == ["who waited", "who let go"]


def test_a_turn_ends_with_its_time() -> None:
    """Within its seconds a pulse is nothing; after them it stops the work, and says that it was late."""
    Turn(UNHURRIED_S).pulse()
    with pytest.raises(StoppedError) as stopped:
        Turn(-1.0).pulse()
    assert stopped.value.late


def test_a_request_that_is_stopped_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped from outside while it works: nothing to say; with its time over: 503, fewer bars."""
    token = opened(notes="E6 F#6 G#6 A6")["work"]

    def stopped(_turn: Turn) -> None:
        raise StoppedError

    def late(_turn: Turn) -> None:
        raise StoppedError(late=True)

    monkeypatch.setattr(Turn, "pulse", stopped)
    answer = ask("route", token, wishes={})
    assert (answer.status_code, answer.content) == (204, b"")
    monkeypatch.setattr(Turn, "pulse", late)
    answer = ask("route", token, wishes={})
    assert answer.status_code == 503
    assert "fewer bars" in answer.json()["error"]["next_step"]
    monkeypatch.undo()
    assert ask("stop", token).json() == {}
    assert ask("route", token, wishes={}).status_code == 200


def test_music_is_drawn_beside_a_search() -> None:
    """Who turns on to music that is not drawn yet waits for no route."""
    turns = Turns()
    searching, drawing = turns.begin(ROUTE), turns.begin(ENGRAVING)
    with turns.held(ROUTE, searching), turns.held(ENGRAVING, drawing):
        drawing.pulse()
