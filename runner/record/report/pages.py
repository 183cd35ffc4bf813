"""The pages themselves: templates filled so that no text of a file or a person can become markup.

Every text goes through `runner.text.shown` and is escaped, whatever a template does: the first by the
environment's own hook, the second by autoescape. Drawings of ours alone pass as they are.
"""

from __future__ import annotations

from dataclasses import fields
from functools import lru_cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from runner.batch.moment import Moment
from runner.record.report.certificate import certificate
from runner.record.report.material import Material
from runner.record.report.view import view
from runner.text import shown

LONGEST = 2000
"""Most characters of one text on paper: a deviation's detail holds a reason beside its figures."""


def report_html(material: Material, printed: Moment) -> str:
    """The report of a batch: one HTML document that asks nothing of anybody outside it."""
    return _filled("report.html.j2", view(material, printed))


def certificate_html(material: Material, printed: Moment) -> str:
    """The certificate of a batch for which `certificate.refusal` finds no reason against one."""
    return _filled("certificate.html.j2", certificate(material, printed))


def _filled(template: str, content: Any) -> str:
    values = {field.name: getattr(content, field.name) for field in fields(content)}
    return _environment().get_template(template).render(values)


@lru_cache(maxsize=1)
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("runner.record.report"),
        autoescape=True,
        finalize=_plain,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )


def _plain(value: object) -> object:
    """A value as it may stand in a page."""
    return value if isinstance(value, Markup) else shown(value, LONGEST)
