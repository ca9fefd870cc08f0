"""The list of plots, and one plot's page: its tube, its season, its advice, its book, its log."""

from collections.abc import Mapping

from flask import Blueprint, render_template, request

from gateway.advisory.views import PlotLine
from gateway.web import places
from gateway.web.chart import draw_season
from gateway.web.desk import the_desk
from gateway.web.guard import visitor
from gateway.web.picture import picture_of, recent
from gateway.web.reasons import CONCERNS, concerns_of, reason_words
from gateway.web.tube import draw_tube
from gateway.web.waterwords import account_words, habit_words, methane_words
from gateway.web.words import ACTIONS, STAGES

LINES_A_PAGE = 100
FILTERS = ("block", "stage", "action", "concern")
routes = Blueprint("plots", __name__)


@routes.get("/plots")
def show() -> str:
    """Every plot of the scheme, with its newest advice."""
    everything = the_desk().views.plots(visitor().scheme_id)
    found = [line for line in everything if fits(line, request.args)]
    blocks = sorted({line.block for line in everything})
    return render_template(
        "plots.html",
        page=_cut(found, places.page_of(request.args)),
        blocks=[(block, block) for block in blocks],
        stages=STAGES.items(),
        actions=ACTIONS.items(),
        concerns=CONCERNS.items(),
        concerns_of=concerns_of,
        asked=request.args,
        kept={key: request.args[key] for key in FILTERS if request.args.get(key)},
    )


@routes.get("/plots/<code>")
def plot(code: str) -> str:
    """One plot, judged today."""
    page = the_desk().plot_page(visitor().scheme_id, code.upper())
    picture = picture_of(page)
    return render_template(
        "plot.html",
        plot=page,
        picture=picture,
        tube=draw_tube(picture),
        whole=draw_season(picture, 960, 380),
        lately=draw_season(recent(picture), 340, 300),
        habit=habit_words(page.estimate) if page.estimate else [],
        account=account_words(page.account) if page.account else [],
        methane=methane_words(page.methane) if page.methane else "",
        reasons=[reason_words(code) for code in (*page.advice.reasons, *page.made_up)],
    )


def fits(line: PlotLine, wanted: Mapping[str, str]) -> bool:
    """Whether a plot's line is wanted by the list's filter."""
    stage, action = line.stage or "unknown", line.action or "none"
    return (
        wanted.get("block", "") in ("", line.block)
        and wanted.get("stage", "") in ("", stage)
        and wanted.get("action", "") in ("", action)
        and (not wanted.get("concern") or wanted["concern"] in line.reasons)
    )


def _cut(found: list[PlotLine], page: int) -> dict[str, object]:
    start = (page - 1) * LINES_A_PAGE
    pages = max(1, -(-len(found) // LINES_A_PAGE))
    lines = found[start : start + LINES_A_PAGE]
    return {"lines": lines, "page": page, "pages": pages, "total": len(found)}
