"""Whether a person checked the translation that is to be printed, and what of it is still English."""

import streamlit as st

from estimator.base.formats import name_language
from estimator.estimate.result import CaseEstimate
from estimator.inputs.practice.settings import Settings
from estimator.inputs.reference.wording import Wording
from estimator.sheets.base.translation import translate_estimate
from estimator.ui.shell.markup import show_plain


def is_reviewed(settings: Settings, wording: Wording) -> bool:
    """Whether the texts are no translation, or one that was reviewed as it stands."""
    return not wording.is_translation or settings.find_review(wording.language, wording.fingerprint) is not None


def show_translation(estimate: CaseEstimate, wording: Wording) -> None:
    """How to enter a review, and which texts are still English; nothing where no translation is printed."""
    if not wording.is_translation:
        return
    settings = estimate.practice.settings
    name = name_language(wording.language, settings.locale)
    if not is_reviewed(settings, wording):
        st.markdown(
            f"The {name} is not reviewed: every page says so until a qualified human translator has checked it. Who "
            f"and when is in settings.toml, under [translation.{wording.language}], with the signs "
            f"`{wording.fingerprint}` of these texts."
        )
    left = translate_estimate(estimate, wording).left
    if left:
        st.markdown(f"Not translated yet, printed in English: {'; '.join(show_plain(text) for text in left)}.")
