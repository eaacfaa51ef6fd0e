"""Files of a report, made from the demonstration farm's month: whole, legible, without links."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterator
from datetime import datetime
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from voicelog.app.demonstration import demo_lines, fill
from voicelog.app.notebook import Notebook
from voicelog.app.reporting.page import Page, Plot
from voicelog.app.reporting.pages import page_of
from voicelog.app.setting import Setting

pytest.importorskip("matplotlib", reason="pictures need the extra `report`")

NOW = datetime(2027, 5, 31, 21, tzinfo=ZoneInfo("America/Chicago"))
_LINKS = {"src", "href", "xlink:href", "action", "data", "poster", "srcset"}


@pytest.fixture(scope="module")
def notebook(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Notebook]:
    folder = tmp_path_factory.mktemp("demo")
    setting = Setting(
        store=str(folder / "farm.db"),
        store_named=True,
        farm_path=folder / "farm.toml",
        farm_named=True,
    )
    fill(setting, demo_lines(), lambda _: None)
    with Notebook(setting) as opened:
        yield opened


@pytest.fixture(scope="module")
def page(notebook: Notebook) -> Page:
    return page_of(notebook, "month", NOW)


@pytest.fixture(scope="module")
def html(page: Page) -> str:
    from voicelog.app.reporting.web_page import web_page

    return web_page(page)


class _Links(HTMLParser):
    """Gathers what a browser would load, and every id."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name in _LINKS]
        self.ids += [value or "" for name, value in attrs if name == "id"]


def test_the_demo_month_has_every_part(page: Page) -> None:
    assert [section.name for section in page.sections] == [
        "laid", "intake", "losses", "ground", "young", "lines", "due", "money", "others",
    ]  # fmt: skip
    assert {plot.name for plot in page.plots} >= {"laid", "rate", "fed", "stays", "lines"}


def test_the_html_loads_nothing(html: str) -> None:
    read = _Links()
    read.feed(html)
    assert "svg" in read.tags
    assert not {"script", "link", "iframe", "img", "object", "embed"} & set(read.tags)
    assert all(link.startswith("#") for link in read.links)
    assert not re.search(r"https?://|//\w|@import|url\((?!#)", html)
    assert {link[1:] for link in read.links} <= set(read.ids)


def test_every_caution_and_note_of_the_page_stands_in_the_html(page: Page, html: str) -> None:
    from html import escape

    for section in page.sections:
        for caution in section.cautions:
            assert escape(caution.text) in html
        for fact in section.facts:
            assert escape(fact.text) in html


def test_every_plot_has_title_axes_with_units_and_a_legend(page: Page) -> None:
    from voicelog.app.reporting.drawing import figure_of

    for plot in page.plots:
        (axes,) = figure_of(plot, (7, 4), 10).axes
        assert axes.get_title(loc="left") == plot.title
        assert axes.get_xlabel() == plot.x_label != ""
        assert axes.get_ylabel() == plot.y_label != ""
        if not plot.stays:
            assert re.search(r" a day|\(.+\)|rate", plot.y_label), plot.y_label
        legend = axes.get_legend()
        if len(plot.labels) > 1:
            assert legend is not None
            assert {text.get_text() for text in legend.get_texts()} == set(plot.labels)


def test_series_differ_without_their_colours(page: Page) -> None:
    from voicelog.app.reporting.drawing import figure_of

    for plot in page.plots:
        (axes,) = figure_of(plot, (7, 4), 10).axes
        lines = [line for line in axes.lines if not str(line.get_label()).startswith("_")]
        looks = [(line.get_marker(), line.get_linestyle()) for line in lines]
        assert len(set(looks)) == len(looks)
        if plot.bars:
            hatches = [bars.patches[0].get_hatch() for bars in axes.containers]
            assert len(set(hatches)) == len(hatches)


def test_nothing_of_a_picture_lies_outside_it_or_on_another_part(page: Page) -> None:
    from voicelog.app.reporting.drawing import figure_of

    for plot in page.plots:
        figure = figure_of(plot, (4.9, 3.5), 9.5)
        figure.draw_without_rendering()
        (axes,) = figure.axes
        whole = figure.bbox
        boxes = [axes.title, axes.xaxis.label, axes.yaxis.label, axes._left_title]
        for part in (*boxes, axes.get_legend()):
            if part is None or (hasattr(part, "get_text") and not part.get_text()):
                continue
            box = part.get_window_extent()
            assert box.x0 >= whole.x0 - 1, f"{plot.name}: {part}"
            assert box.x1 <= whole.x1 + 1, f"{plot.name}: {part}"
            assert box.y0 >= whole.y0 - 1, f"{plot.name}: {part}"
        legend = axes.get_legend()
        if legend is not None:
            below = axes.xaxis.label.get_window_extent().y0
            assert legend.get_window_extent().y1 <= below + 1, plot.name


@pytest.mark.parametrize(("day", "period"), [(23, "week"), (31, "month")])
@pytest.mark.parametrize("inches", [(2.5, 2.2), (4.9, 3.5)])
def test_the_names_of_days_do_not_run_into_each_other(
    notebook: Notebook, day: int, period: str, inches: tuple[float, float]
) -> None:
    from voicelog.app.reporting.drawing import figure_of

    for plot in page_of(notebook, period, NOW.replace(day=day)).plots:
        figure = figure_of(plot, inches, 6.5 if inches[0] < 3 else 9.5)
        figure.draw_without_rendering()
        boxes = [name.get_window_extent() for name in figure.axes[0].get_xticklabels()]
        assert len(boxes) >= 2
        for left, right in pairwise(boxes):
            assert left.x1 < right.x0, plot.name


def test_a_png_is_made_of_each_plot(page: Page) -> None:
    from voicelog.app.reporting.drawing import png

    assert png(page.plots[0]).startswith(b"\x89PNG")


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_pdf_is_one_sheet_with_all_cautions(page: Page, paper: str) -> None:
    pdfium = pytest.importorskip("pypdfium2", reason="reads the sheet back")
    from voicelog.app.reporting.sheet import PAPERS, sheet

    document = pdfium.PdfDocument(sheet(page, paper))
    try:
        assert len(document) == 1
        assert document[0].get_size() == pytest.approx(PAPERS[paper], abs=1)
        text = " ".join(document[0].get_textpage().get_text_range().split())
    finally:
        document.close()
    for section in page.sections:
        assert section.title in text
        for caution in section.cautions:
            assert caution.text in text
    assert "not for eating or selling" in text


def test_nothing_printed_on_the_sheet_runs_over_its_edge(page: Page) -> None:
    pdfium = pytest.importorskip("pypdfium2", reason="reads the sheet back")
    from voicelog.app.reporting.sheet import sheet

    document = pdfium.PdfDocument(sheet(page))
    try:
        wide, tall = document[0].get_size()
        boxes = [thing.get_bounds() for thing in document[0].get_objects(max_depth=1)]
        texts = document[0].get_textpage()
        letters = [texts.get_charbox(at) for at in range(texts.count_chars())]
    finally:
        document.close()
    assert boxes
    for left, low, right, high in letters:
        assert left >= 10
        assert right <= wide - 10
        assert low >= 10
        assert high <= tall - 10


@pytest.mark.skipif(shutil.which("chromium") is None, reason="needs a browser: chromium")
def test_the_html_is_no_wider_than_a_phone(html: str, tmp_path: Path) -> None:
    probe = (
        "<script>document.title = document.documentElement.scrollWidth + ' of ' + innerWidth;"
        "</script></body>"
    )
    file = tmp_path / "report.html"
    file.write_text(html.replace("</body>", probe), encoding="utf-8")
    shown = subprocess.run(
        [
            "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--window-size=500,900",
            "--dump-dom", file.as_uri(),
        ],
        capture_output=True, text=True, timeout=90, check=True,
    ).stdout  # fmt: skip
    found = re.search(r"<title>(\d+) of (\d+)</title>", shown)
    assert found is not None
    assert int(found[1]) <= int(found[2])


def _longest(plots: tuple[Plot, ...]) -> int:
    from voicelog.cli.report_pictures import picture

    assert plots
    return max(len(line) for plot in plots for line in picture(plot))


@pytest.mark.parametrize("period", ["month", "season"])
def test_pictures_in_letters_fit_the_width(notebook: Notebook, period: str) -> None:
    assert _longest(page_of(notebook, period, NOW).plots) <= 80
