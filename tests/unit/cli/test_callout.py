"""The callout command: what it prints, and the picture."""

from __future__ import annotations

import json

import pytest

from borewright.callout import parse_callout
from borewright.cli.callout import run_callout
from borewright.cli.callout_picture import limits_picture

WHOLE = """\
62 H6

lower      62.000 mm
mid        62.0095 mm
upper      62.019 mm
tolerance  0.019 mm, 19 µm
from       ISO 286-1:2010

undersize: cut again             GOOD                 oversize: lost
                    |              :              |/  /  /  /  /  /  /
-  -  -  -  -  -  - [==============#==============]  /  /  /  /  /  /  /
                    |              :              | /  /  /  /  /  /  /
                 62.000         62.0095        62.019
                  lower           mid         upper, mm
                    ^
               nominal 62
"""


def test_prints_limits_mid_size_and_picture(capsys: pytest.CaptureFixture[str]) -> None:
    assert run_callout("62 H6", None, as_json=False) == 0
    assert capsys.readouterr() == (WHOLE, "")


def test_prints_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run_callout("1.5 RC3", None, as_json=True) == 0
    assert json.loads(capsys.readouterr().out) == {
        "written": "1.5 RC3",
        "unit": "in",
        "lower": "1.5000 in",
        "mid": "1.5005 in",
        "upper": "1.5010 in",
        "tolerance": "0.0010 in",
        "nominal": "1.5 in",
        "designation": "RC3",
        "source": "ANSI B4.1-1967, Machinery's Handbook 31st ed. Table 8a",
    }


def test_says_the_tolerance_as_the_trade_does(capsys: pytest.CaptureFixture[str]) -> None:
    run_callout("2.3622 ±.0003", "in", as_json=False)
    assert "tolerance  0.0006 in, 6 tenths\n" in capsys.readouterr().out
    run_callout("62 ±0.125", "mm", as_json=False)
    assert "tolerance  0.250 mm\n" in capsys.readouterr().out


@pytest.mark.parametrize(("text", "unit"), [("62 h6", None), ("62", "mm"), ("62 CD6", None), ("62 H6", "yd")])
def test_a_refusal_goes_to_stderr_with_code_2(capsys: pytest.CaptureFixture[str], text: str, unit: str | None) -> None:
    assert run_callout(text, unit, as_json=False) == 2
    out, err = capsys.readouterr()
    told = err
    assert not out
    assert len(told.splitlines()) == 1
    assert run_callout(text, unit, as_json=True) == 2
    out, err = capsys.readouterr()
    assert not err
    problem = json.loads(out)
    assert problem["wrong"] in told
    assert problem["right"] in told
    assert problem["given"] in (text, unit)


def column(picture: str, row: int, mark: str) -> int:
    return picture.splitlines()[row].index(mark)


@pytest.mark.parametrize(
    ("written", "share"),
    [("62 H6", 0.0), ("280 M6", 41 / 32), ("70 +0.012 / -0.005", 5 / 17), ("2.3622 in ±.0003", 0.5)],
)
def test_the_nominal_stands_to_scale(written: str, share: float) -> None:
    picture = limits_picture(parse_callout(written, "mm"))
    lower, upper = column(picture, 2, "["), column(picture, 2, "]")
    nominal = column(picture, 6, "^")
    assert abs((nominal - lower) / (upper - lower) - share) <= 0.5 / (upper - lower)


def test_mid_stands_midway() -> None:
    for width in range(48, 120):
        picture = limits_picture(parse_callout("62 H6"), width)
        lower, mid, upper = (column(picture, 2, mark) for mark in "[#]")
        assert mid - lower == upper - mid


def test_a_nominal_beyond_the_picture_is_told_in_words() -> None:
    above = limits_picture(parse_callout("62 ZC7")).splitlines()[-2:]
    assert above == ["nominal 62 -->".rjust(72), "0.394 above the upper limit".rjust(72)]
    below = limits_picture(parse_callout("100 C8")).splitlines()[-2:]
    assert below == ["<-- nominal 100", "0.170 below the lower limit"]


def test_limits_alone_have_no_nominal() -> None:
    assert "nominal" not in limits_picture(parse_callout("1.5000-1.5010 in"))


def test_the_cliff_is_lined_beyond_the_upper_limit_only() -> None:
    lines = limits_picture(parse_callout("62 H6")).splitlines()[1:4]
    end = lines[1].index("]")
    for line in lines:
        assert "/" not in line[: end + 1]
        assert line.count("/") >= 6
    slants = [{place for place, mark in enumerate(line) if mark == "/"} for line in lines]
    assert {place - 1 for place in slants[0] if place - 1 > end} <= slants[1]
    assert {place - 1 for place in slants[1] if place - 1 > end} <= slants[2]
