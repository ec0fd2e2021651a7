"""Recording a grip with a made-up microphone: takes, table, accept; nothing leaves the local page."""

import wave
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.browser.conftest import CHROMIUM, FLAGS, PatientBrowser
from tests.browser.page_driver import ROOFTOP, Desk, desk, faults_of_axe
from tests.listening.sessions import RATE_HZ, Session, played, tones
from tests.listening.tones import Tone, samples
from tests.patience import HANG_MS

pytestmark = pytest.mark.browser

SESSION = Session(length_s=1.3)
OTHER = "T L1 L3 | R2 Eb"
TOO_SHORT = Tone(SESSION.pitch, length_s=0.6)
KEEPS_TRACK = """
const open = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
navigator.mediaDevices.getUserMedia = async (asked) => {
  window.asked = asked;
  const stream = await open(asked);
  [window.track] = stream.getAudioTracks();
  return stream;
};
"""
REFUSES = "() => { navigator.mediaDevices.getUserMedia = async () => { throw new DOMException('', '%s'); }; }"


@pytest.fixture(scope="module")
def hearing(browser: PatientBrowser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[PatientBrowser]:
    """A browser whose microphone is a file: a take that is too short, then the nine of a session."""
    path: Path = tmp_path_factory.mktemp("microphone") / "takes.wav"
    nine = [samples(tone, RATE_HZ, number) for number, tone in enumerate(tones(SESSION))]
    sound = np.round(32767 * np.clip(played([TOO_SHORT, *nine]), -1.0, 1.0)).astype("<i2")
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes(sound.tobytes())
    flags = (
        "--use-fake-device-for-media-stream",
        "--use-fake-ui-for-media-stream",
        f"--use-file-for-fake-audio-capture={path}",
    )
    running = browser.running.browser_type.launch(
        executable_path=CHROMIUM, args=[*FLAGS, *flags], timeout=HANG_MS
    )
    yield PatientBrowser(running)
    running.close()


def asked_for(shown: Desk) -> None:
    """The screen for the other F#6, from the menu More."""
    shown.open_score(ROOFTOP)
    shown.more("#record")
    shown.page.fill("#record-pitch", "F#6")
    shown.page.press("#record-pitch", "Tab")
    shown.page.wait_for_selector(f'#record-grip option[value="{OTHER}"]', state="attached")
    shown.page.select_option("#record-grip", OTHER)


def takes(shown: Desk) -> int:
    """How many dots there are."""
    return int(shown.page.locator(".dots circle").count())


def test_takes_table_accept(hearing: PatientBrowser, address: str) -> None:
    """Nine takes become a table, which is accepted and undone; the short one is refused with its reason.

    The sound is asked for as it is, is sent to the local page alone, and the microphone is off at the end.
    """
    with desk(hearing, address) as shown:
        shown.page.context.add_init_script(KEEPS_TRACK)
        shown.page.reload()
        shown.page.wait_for_selector("html[data-ready]")
        sent: list[str] = []
        shown.page.context.on("request", lambda asked: sent.append(asked.url))
        shown.open_score(ROOFTOP)
        place = next(k for k, label in enumerate(shown.marks()) if "F sharp 6" in label)
        shown.choose(place)
        shown.page.click('button[aria-label="Record F♯6 T 1 3 | 2 Eb"]')
        shown.page.wait_for_selector("#record-start:not([disabled])")
        assert shown.page.input_value("#record-grip") == OTHER
        assert faults_of_axe(shown.page, "#dialog-record") == []
        shown.page.focus("#record-start")
        shown.page.keyboard.press("Enter")
        shown.page.wait_for_selector(".record .problem:not([hidden])")
        assert "too short: 0.6 s" in shown.page.inner_text(".record .problem")
        assert takes(shown) == 0
        shown.page.wait_for_selector(".dots circle")
        assert faults_of_axe(shown.page, "#dialog-record") == []
        shown.page.wait_for_selector("#record-accept")
        assert takes(shown) == 9
        assert shown.page.locator(".dots .cross").count() == 1
        assert shown.page.evaluate("window.track.readyState") == "ended"
        wanted = shown.page.evaluate("window.asked.audio")
        assert wanted == dict.fromkeys(("echoCancellation", "noiseSuppression", "autoGainControl"), False)
        assert faults_of_axe(shown.page, "#dialog-record") == []
        said = shown.page.inner_text(".record tbody tr:first-child td")
        found, spread = (float(word.strip("+,")) for word in (said.split()[0], said.split()[-1]))
        assert abs(found - SESSION.difference) <= spread
        assert "reading" not in shown.page.inner_text("#summary"), "nothing is kept before it is accepted"
        shown.page.keyboard.press("Enter")
        shown.page.wait_for_selector("#dialog-record", state="detached")
        shown.settled()
        assert "1 reading of your tuner" in shown.page.inner_text("#summary")
        assert "measured with your tuner" in shown.page.inner_text("#panel")
        shown.page.click("#undo")
        shown.settled()
        assert "reading" not in shown.page.inner_text("#summary")
        assert {f"{address}record/{name}" for name in ("grips", "pitch", "take", "table")} <= set(sent)
        assert all(url.startswith((address, "blob:", "data:")) for url in sent)
        assert shown.faults == []


def test_unplugged_in_between(hearing: PatientBrowser, address: str) -> None:
    """It is said with what to do; the takes so far stay, and recording goes on after them."""
    with desk(hearing, address) as shown:
        shown.page.context.add_init_script(KEEPS_TRACK)
        shown.page.reload()
        shown.page.wait_for_selector("html[data-ready]")
        asked_for(shown)
        shown.page.click("#record-start")
        shown.page.wait_for_selector(".dots circle")
        shown.page.evaluate("window.track.dispatchEvent(new Event('ended'))")
        shown.page.wait_for_selector("#record-start:not([disabled])")
        shown.page.wait_for_selector(".record .problem:not([hidden])")
        assert "Plug it in and start again" in shown.page.inner_text(".record .problem")
        kept = int(shown.page.inner_text("#record-start").split()[4]) - 1
        assert kept >= 1
        shown.page.click("#record-start")
        shown.page.wait_for_selector(".dots")
        assert takes(shown) >= kept
        before = takes(shown)
        shown.page.click("#record-back")
        assert takes(shown) == before - 1
        assert shown.faults == []


IN_ROOMS = """async () => {
  const { notesByLevel } = await import("/static/record/notes_by_level.js");
  const RATE = 48000, SIZE = 1024;
  const found = (room) => { // [seconds, level of the tone, level of the noise]
    const hear = notesByLevel(RATE), lengths = [];
    let at = 0, noise = 7;
    for (const [seconds, tone, hiss] of room) for (let left = seconds; left > 0; left -= SIZE / RATE) {
      const block = new Float32Array(SIZE).map(() => {
        noise = (noise * 16807) % 2147483647;
        return tone * Math.sin(at++ / 5) + hiss * (noise / 1073741823 - 1);
      });
      const { note } = hear(block);
      if (note) lengths.push(Math.round((note.length * SIZE) / RATE * 10) / 10);
    }
    return lengths;
  };
  const two = (hiss, loud = 0.2) => {
    const rest = [1, 0, hiss], note = [2, loud, hiss];
    return [rest, note, rest, note, rest];
  };
  return {
    quiet: found(two(0.0001)),
    noisy: found(two(0.01)),
    far: found(two(0.0001, 0.005)),
    deaf: found([[0.5, 0, 0], ...two(0.01)]),
    gated: found(two(0)),
    tap: found([[1, 0, 0.001], [0.1, 0.2, 0.001], ...two(0.001)]),
    long: found([[1, 0, 0.001], [9, 0.2, 0.001], ...two(0.001)]),
    fan: found([[1, 0, 0.0001], [9, 0, 0.03], ...two(0.03)]),
  };
}"""


def test_notes_are_parted_in_any_room(page: Desk) -> None:
    """Two notes of 2 s, with 0.4 s to either side, in still and noisy rooms; taps pass, long ones are cut.

    So where a microphone gives nothing at first, or in every pause (the first note begins abruptly then); a
    fan that starts is one note too long, after which all goes on.
    """
    found = page.page.evaluate(IN_ROOMS)
    for room in ("quiet", "noisy", "far", "deaf", "tap"):
        assert found[room] == pytest.approx([2.8, 2.8], abs=0.15), room
    assert found["gated"] == pytest.approx([2.4, 2.8], abs=0.15)
    assert found["long"] == pytest.approx([6.4, 2.8, 2.8], abs=0.15)
    assert found["fan"] == pytest.approx([6.4, 2.8, 2.8], abs=0.15)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("NotAllowedError", "Allow it at the sign beside the address"),
        ("NotFoundError", "Plug one in"),
        ("NotReadableError", "Close what else uses it"),
        ("AbortError", "Look after it in the settings"),
    ],
)
def test_no_microphone_is_said_with_the_next_step(browser: Any, address: str, name: str, words: str) -> None:
    """Refused, missing, in use or failing: one sentence, and the screen stays as it was."""
    with desk(browser, address) as shown:
        shown.page.evaluate(REFUSES % name)
        asked_for(shown)
        shown.page.click("#record-start")
        shown.page.wait_for_selector(".record .problem:not([hidden])")
        assert words in shown.page.inner_text(".record .problem")
        assert shown.page.is_enabled("#record-start")
        assert shown.faults == []


@pytest.mark.parametrize("view", [(390, 844), (844, 390), (820, 1180), (1024, 768)], ids=str)
def test_needle_and_meter_are_in_view(hearing: PatientBrowser, address: str, view: tuple[int, int]) -> None:
    """On a phone, upright or not, and on tablets: what to play, needle, meter, takes, buttons in view."""
    with desk(hearing, address, color_scheme="dark") as shown:
        shown.page.set_viewport_size({"width": view[0], "height": view[1]})
        asked_for(shown)
        shown.page.click("#record-start")
        shown.page.wait_for_selector(".dots")
        for part in (
            ".record-now",
            ".record-say",
            ".needle-words",
            ".needle-scale",
            ".level",
            ".dots",
            "#record-back",
        ):
            box = shown.page.locator(part).bounding_box()
            assert box is not None
            assert box["y"] >= 0
            assert box["y"] + box["height"] <= view[1]
        wide = "document.getElementById('dialog-record')"
        assert shown.page.evaluate(f"{wide}.scrollWidth <= {wide}.clientWidth")
        assert faults_of_axe(shown.page, "#dialog-record") == []
        assert shown.faults == []
