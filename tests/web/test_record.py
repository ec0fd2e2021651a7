"""Recording on the page: sound in, the cents of `gripway listen` out; bounds and nonsense."""

import base64
import io
import wave
from functools import cache
from typing import Any

import numpy as np
import pytest
from tests.listening.sessions import RATE_HZ, Session, played, recorded, tones
from tests.listening.tones import Samples, Tone, samples, silence
from tests.web.pages import client, error_of

from gripway.errors import RequestError
from gripway.sound.recording import Recording
from gripway.tasks.own.recordings import listen
from gripway.web.guards import HEADERS, MICROPHONE
from gripway.web.record.record_questions import _recording
from gripway.web.size_limits import MOST_SOUND_BYTES, MOST_TAKE_SECONDS

PITCH, OTHER = "F#6", "T L1 L3 | R2 Eb"
ORDER = [*["standard"] * 3, *["other"] * 3, *["standard again"] * 3]


def ask(name: str, **body: Any) -> Any:
    """An answer to a question of the recording page."""
    return client().post(f"/record/{name}", json=body)


def told(name: str, **body: Any) -> dict[str, Any]:
    """What is said to a question that can be answered."""
    answer = ask(name, **body)
    assert answer.status_code == 200, answer.text
    data: dict[str, Any] = answer.json()
    return data


def wav_of(sound: Samples, rate_hz: int = RATE_HZ) -> str:
    """A sound as the page sends it: a WAV of 16 bits as base64."""
    file = io.BytesIO()
    with wave.open(file, "wb") as written:
        written.setnchannels(1)
        written.setsampwidth(2)
        written.setframerate(rate_hz)
        written.writeframes(np.round(np.clip(sound, -1.0, 1.0) * 32767).astype("<i2").tobytes())
    return base64.b64encode(file.getvalue()).decode()


def alone(*sounds: Samples) -> str:
    """Notes with silence around them."""
    return wav_of(played(sounds, breath_s=0.4))


@cache
def card() -> dict[str, Any]:
    """What the page is told of F#6."""
    return told("grips", wishes={}, pitch=PITCH)


def asked_take(sound: str, block: str = "standard") -> dict[str, Any]:
    """What is said of a take of F#6."""
    return told("take", pitch=PITCH, hz=card()["hz"], block=block, wav=sound)


def test_the_grips_of_a_note_come_with_what_is_to_be_played() -> None:
    """The standard grip, the others with their diagrams, the hertz of F#6 (1479.98), three takes each."""
    assert round(card()["hz"], 2) == 1479.98  # 440 * 2^(21/12), equal temperament
    assert card()["order"] == ORDER
    assert card()["standard"]["short"] == "T 1 3 | 3 Eb"
    assert OTHER in {each["grip"] for each in card()["others"]}
    assert all(each["picture"]["svg"].startswith("<svg") for each in card()["others"])
    alto = told("grips", wishes={"flute": "alto-flute"}, pitch=PITCH)
    assert alto["hz"] == pytest.approx(
        card()["hz"] * 2 ** (-5 / 12)
    )  # an alto flute in G sounds a fourth lower


def test_a_take_is_heard_up_to_its_longest() -> None:
    """Ten seconds are listened to, a sample more is refused."""
    longest = int(MOST_TAKE_SECONDS * 8_000)
    assert _recording(wav_of(np.full(longest, 0.5), 8_000)).length_s == MOST_TAKE_SECONDS
    with pytest.raises(RequestError, match="too long"):
        _recording(wav_of(np.full(longest + 1, 0.5), 8_000))


def test_the_table_is_that_of_the_command() -> None:
    """Nine takes one by one give the reading that one recording of them gives to `listen`, to half a cent."""
    session = Session()
    sounds = [samples(tone, RATE_HZ, number) for number, tone in enumerate(tones(session))]
    takes, begins_s = [], 0.0
    for block, sound in zip(ORDER, sounds, strict=True):
        heard = asked_take(alone(sound), block)
        assert heard["refused"] is None
        at = begins_s + heard["start_s"], begins_s + heard["end_s"]
        takes.append({"block": block, "start_s": at[0], "end_s": at[1], "cents": heard["cents"]})
        begins_s += len(sound) / RATE_HZ + 0.8
    found = told("table", wishes={}, pitch=PITCH, grip=OTHER, date="2026-11-29", takes=takes)
    whole: Recording = recorded(played(sounds, breath_s=0.8))
    command = listen(whole, [f"{PITCH}={OTHER}"]).measured[0]
    (reading,) = found["readings"]
    assert reading["vs_standard"] == pytest.approx(command.vs_standard, abs=0.5)
    assert reading["cents"] == pytest.approx(command.cents, abs=0.5)
    assert (reading["takes"], reading["date"], reading["grip"]) == (3, "2026-11-29", OTHER)
    assert abs(reading["vs_standard"] - session.difference) <= reading["spread_cents"]
    assert "above your standard one" in found["sentence"]
    work = client().post("/open", json={"notes": "E6 F#6", "wishes": {"cents": found["readings"]}})
    assert work.status_code == 200, "the reading is a wish as it comes"


def test_the_needle_hears_a_third_of_a_second() -> None:
    """The pitch of 0.3 s of a note to a cent; another note, and noise alone, are said in words."""
    middle = slice(round(0.4 * RATE_HZ), round(0.7 * RATE_HZ))

    def now(sound: Samples) -> dict[str, Any]:
        return told("pitch", pitch=PITCH, hz=card()["hz"], wav=wav_of(sound[middle]))

    assert now(samples(Tone(90, 23.0)))["cents"] == pytest.approx(23.0, abs=1.0)
    assert now(samples(Tone(93)))["words"] == "another note: A6"
    noise = now(silence(1.0, level=0.1))
    assert noise["cents"] is None
    assert noise["words"]


@pytest.mark.parametrize(
    ("sound", "words"),
    [
        (alone(samples(Tone(90, length_s=0.7))), "too short: 0.7 s; play it for two seconds"),
        (alone(samples(Tone(93))), "another note: A6; check the grip and the octave"),
        (alone(samples(Tone(90)), samples(Tone(90))), "2 notes heard; play one note, then rest"),
        (alone(samples(Tone(90, length_s=0.15))), "0 notes heard; play one note, then rest"),
        (alone(samples(Tone(90, -85.0))), "another note"),
    ],
    ids=["short", "another", "two", "none", "flat"],
)
def test_a_take_is_refused_with_its_reason(sound: str, words: str) -> None:
    """What cannot be used says why and what to do; a standard grip 85 cents flat is another note."""
    found = asked_take(sound)
    assert found["cents"] is None
    assert found["words"].startswith(words)


GOOD = {"pitch": PITCH, "hz": 1480.0, "block": "other", "wav": alone(samples(Tone(90)))}


@pytest.mark.parametrize(
    "change",
    [
        {"wav": "no base64"},
        {"wav": base64.b64encode(b"fLaC" + bytes(400)).decode()},
        {"wav": base64.b64encode(b"RIFF\xff\xff\xff\xffWAVEdata").decode()},
        {"wav": wav_of(np.zeros(4800))},
        {"wav": wav_of(np.full(8000, 0.1), 4_000)},
        {"wav": wav_of(silence(MOST_TAKE_SECONDS + 1.0, 8_000), 8_000)},
        {"hz": 0},
        {"hz": 1e999},
        {"hz": "1480"},
        {"block": "warm-up"},
        {"pitch": "H9"},
        {"more": 1},
    ],
    ids=lambda change: f"{next(iter(change))}-{str(next(iter(change.values())))[:12]}",
)
def test_what_is_no_take_is_refused(change: dict[str, Any]) -> None:
    """No sound, a damaged or coded one, silence, odd rates, too much of it, no numbers: said so."""
    assert ask("take", **GOOD).status_code == 200
    answer = client().post(
        "/record/take",
        content=_json(GOOD | change),
        headers={"content-type": "application/json"},
    )
    assert answer.status_code == 400
    assert error_of(answer)["code"] == "request"
    assert error_of(answer)["next_step"]


def _json(body: dict[str, Any]) -> str:
    import json

    return json.dumps(body).replace("Infinity", "1e999")


TAKE = {"block": "other", "start_s": 1.0, "end_s": 2.0, "cents": 3.0}


@pytest.mark.parametrize(
    "change",
    [
        {"takes": [TAKE] * 61},
        {"takes": [TAKE | {"cents": 900}]},
        {"takes": [TAKE | {"start_s": -1}]},
        {"date": "2026-13-01"},
        {"grip": "T L1 L3 | R3 Eb"},
        {"grip": "what"},
        {"pitch": "C2"},
        {"wishes": {"flute": "kazoo"}},
    ],
    ids=["many", "cents", "time", "day", "standard", "grip", "pitch", "flute"],
)
def test_what_makes_no_table_is_refused(change: dict[str, Any]) -> None:
    """Too many takes, cents and times out of bounds, no day, the standard grip itself, no flute."""
    body = {"wishes": {}, "pitch": PITCH, "grip": OTHER, "date": "2026-11-29", "takes": [TAKE]}
    assert error_of(ask("table", **body))["what"] == "there are too few takes"
    refused = error_of(ask("table", **body | change))
    assert refused["code"] == "request"
    assert refused["what"] != "there are too few takes"


def test_too_much_sound_is_refused_unread() -> None:
    """A body above its bound is not taken, whatever it is, and says what to do."""
    answer = client().post(
        "/record/take", content=b" " * (MOST_SOUND_BYTES + 1), headers={"content-type": "application/json"}
    )
    assert answer.status_code == 413
    assert error_of(answer)["next_step"] == "Play each take for two seconds"
    assert ask("else").status_code == 404


def test_only_the_page_itself_may_ask_for_the_microphone() -> None:
    """The browser's permission is open to the page's own document, and to nothing else it loads."""
    assert client().get("/").headers["permissions-policy"] == MICROPHONE[1]
    assert "microphone=(self)" in MICROPHONE[1]
    for path in ("/static/app.js", "/flutes", "/stand"):
        assert client().get(path).headers["permissions-policy"] == dict(HEADERS)["permissions-policy"]
    assert "microphone=()" in dict(HEADERS)["permissions-policy"]
