"""The parts that pages are made of."""

import plotly.graph_objects as go
import pytest

from dashboard.ui import widgets


def test_the_title_of_a_chart_shows_the_words_of_records_as_they_are(
    monkeypatch: pytest.MonkeyPatch,
):
    written: list[str] = []
    monkeypatch.setattr(widgets.st, "markdown", written.append)
    monkeypatch.setattr(widgets.st, "plotly_chart", lambda *_, **__: None)
    widgets.chart(go.Figure(), alt="", key="k", title="Highest: ![b](http://x.invalid/b.png)")
    assert "![" not in written[0]
    assert r"\!\[b\]" in written[0]
