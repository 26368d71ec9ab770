"""What was not looked at, so that silence is not taken for a result."""

from shadefmt.indexing import CaseView
from shadefmt.model.report import Report
from shadefmt.rendering.figures import counted
from shadefmt.rendering.file_state import SERIOUS, not_run, not_run_sentence, supplied_sentences, unlisted


def unseen(view: CaseView, report: Report) -> list[str]:
    """Return what neither the rules nor this program looked at, the most serious first, without full stops.

    Rules that have nothing to look at are left out.
    """
    groups = not_run(report)
    found = [not_run_sentence(each) for each in groups if each.reason in SERIOUS]
    if unlisted(report):
        found.append(f"{counted(unlisted(report), 'finding is', 'findings are')} counted but not listed")
    pictures = sum(each.media_type.startswith("image/") for each in view.case.attachments or ())
    if pictures:
        them = "it" if pictures == 1 else "them"
        found.append(f"{counted(pictures, 'picture')}: no program looked into {them}")
    if not any(each.spectrum is not None for each in view.case.readings or ()):
        found.append("whether colours follow from spectra: the file holds no spectrum")
    found += supplied_sentences(report)
    if view.case.extensions is not None:
        found.append(f"{counted(len(view.case.extensions), 'extension')} with data of other programs")
    return found + [not_run_sentence(each) for each in groups if each.reason in ("not-supplied", "off")]
