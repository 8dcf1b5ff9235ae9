"""How numbers, times and bits are written."""

from __future__ import annotations

import pytest

from softfloat_py.options import NAMED_OPTIONS, Options
from softfloat_py.views import layout


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("0 s", 0.0),
        ("3.00 ns", 3e-9),
        ("0.10 ns", 1e-10),
        ("12.5 µs", 12.5e-6),
        ("1.00 ms", 0.9996e-3),
        ("999 µs", 0.9994e-3),
        ("250 ms", 0.25),
        ("9.99 s", 9.99),
        ("10.0 s", 9.996),
        ("1 200 s", 1200.0),
    ],
)
def test_duration(text: str, seconds: float) -> None:
    """Times have three significant digits and the unit that keeps them short."""
    assert text == layout.duration(seconds)


@pytest.mark.parametrize(
    ("text", "part"), [("100 %", 8.0), ("12 %", 1.0), ("1.3 %", 0.104), ("0.13 %", 0.0104)]
)
def test_share(text: str, part: float) -> None:
    """Shares of eight in per cent have two significant digits."""
    assert text == layout.share(part, 8.0)


def test_share_of_nothing() -> None:
    """Nothing has no parts."""
    assert "0.00 %" == layout.share(0.0, 0.0)


@pytest.mark.parametrize(
    ("text", "hertz"),
    [("16 MHz", 16e6), ("11.0592 MHz", 11_059_200.0), ("32.768 kHz", 32_768.0), ("50 Hz", 50.0)],
)
def test_frequency(text: str, hertz: float) -> None:
    """Clocks are in MHz, slow ones in kHz or Hz."""
    assert text == layout.frequency(hertz)


@pytest.mark.parametrize(
    ("text", "hertz"), [("16 MHz", 16e6), ("16.1 MHz", 16.01e6), ("1 MHz", 999_100.0), ("33 kHz", 32_901.0)]
)
def test_frequency_that_suffices(text: str, hertz: float) -> None:
    """A clock that has to suffice is rounded up, to three digits."""
    assert text == layout.frequency_from(hertz)


def test_grouped() -> None:
    """Digits stand in groups of three, fractions are rounded."""
    assert ("0", "999", "1 000", "1 234 568") == tuple(map(layout.grouped, (0, 999, 1000, 1234567.6)))


def test_counted() -> None:
    """One is singular, all else plural."""
    assert ("0 calls", "1 call", "2 000 calls") == tuple(layout.counted(n, "call") for n in (0, 1, 2000))


def test_bits() -> None:
    """Bits are shown to the full width, in groups of four; hexadecimal likewise."""
    assert "01 0010" == layout.binary(18, 6)
    assert "0000 0001" == layout.binary(1, 8)
    assert "0x012" == layout.hexadecimal(18, 9)


def test_arithmetic_names() -> None:
    """Every named set of options is explained, others say themselves what they are."""
    for name in NAMED_OPTIONS:
        assert layout.arithmetic(name).startswith(f"{name}: ")
    assert "complete, no flags" == layout.arithmetic(Options(flags=False).name)


def test_columns() -> None:
    """Columns are aligned to the side asked for, without spaces at the ends of lines."""
    assert ["a       10", "longer   2"] == layout.columns([("a", "10", ""), ("longer", "2", "")], "<><")


def test_html_is_escaped() -> None:
    """Signs that mean something in HTML are shown as they are."""
    section = layout.Section("a < b", ["x & y"])
    assert "<div><p><b>&lt;</b></p><p>a &lt; b</p><pre>x &amp; y</pre></div>" == layout.sections_html(
        ["<"], [section]
    )
    assert "<td>a &lt; b</td>" in layout.table_html(("",), [("a < b",)])
