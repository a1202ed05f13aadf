"""A Case becomes the document it could have been read from: what a saved case and a downloaded case file hold."""

from dataclasses import fields
from typing import Any

from estimator.inputs.case.model import (
    BAR_EXTENSIONS,
    ArchForm,
    BarCarries,
    Case,
    Earlier,
    Jaw,
    Measurement,
    Patient,
    PresentDenture,
    Retention,
    Site,
)

Document = dict[str, Any]


def make_document(case: Case) -> Document:
    """The case as plain TOML values; `read_case` makes the same case of it again."""
    ridges = case.ridge_to_ridge_mm
    return {
        "reference": case.reference,
        "health": list(case.health),
        **({} if ridges is None else {"ridge_to_ridge_mm": ridges}),
        "patient": _show_patient(case.patient),
        "jaws": [_show_jaw(jaw) for jaw in case.jaws],
    }


def _show_patient(patient: Patient) -> Document:
    document: Document = {"name": patient.name}
    if patient.born is not None:
        document["born"] = patient.born
    if patient.language:
        document["language"] = patient.language
    return document | ({"large_print": True} if patient.large_print else {})


def _show_jaw(jaw: Jaw) -> Document:
    document: Document = {
        "arch": jaw.arch.value,
        "opposing": jaw.opposing.value,
        "implants": jaw.implants,
        "implants_present": jaw.implants_present,
        "denture": jaw.denture.value,
        "placement": jaw.placement.value,
        "extractions": jaw.extractions,
    }
    document |= _show_bar(jaw) | _show_asked(jaw)
    if jaw.ridge_to_ridge_mm is not None:
        document["ridge_to_ridge_mm"] = jaw.ridge_to_ridge_mm
    if jaw.abutment_heights_mm:
        document["abutment_heights_mm"] = list(jaw.abutment_heights_mm)
    if jaw.present_denture != PresentDenture():
        document["present_denture"] = _show_known(jaw.present_denture)
    if jaw.arch_form != ArchForm():
        document["arch_form"] = _show_known(jaw.arch_form)
    if jaw.measurement is not None:
        document["measurement"] = _show_measurement(jaw.measurement)
    if jaw.sites:
        document["sites"] = [_show_site(site) for site in jaw.sites]
    if jaw.earlier is not None:
        document["earlier"] = _show_earlier(jaw.earlier)
    return document


def _show_bar(jaw: Jaw) -> Document:
    """What is said of a bar, without what is usual."""
    bar: Document = {} if jaw.attachments_on_bar is None else {"attachments_on_bar": jaw.attachments_on_bar}
    bar |= {} if jaw.bar_carries is BarCarries.CLIP else {"bar_carries": jaw.bar_carries.value}
    bar |= {} if jaw.bar_form is None else {"bar_form": jaw.bar_form.value}
    bar |= {name: getattr(jaw, name) for name in BAR_EXTENSIONS if getattr(jaw, name)}
    return bar | ({"few_implants_accepted": True} if jaw.few_implants_accepted else {})


def _show_asked(jaw: Jaw) -> Document:
    """What a jaw asks for beside an option, without what is usual."""
    asked: Document = {"variants": list(jaw.variants)} if jaw.variants else {}
    asked |= {"graft_sites": jaw.graft_sites} if jaw.graft_sites else {}
    return asked if jaw.retention is Retention.LIGHT else asked | {"retention": jaw.retention.value}


def _show_earlier(earlier: Earlier) -> Document:
    return {
        "measured_on": earlier.measured_on,
        "implants_present": earlier.implants_present,
        "measurement": _show_measurement(earlier.measurement),
        "sites": [_show_site(site) for site in earlier.sites],
    }


def _show_measurement(measurement: Measurement) -> Document:
    document: Document = {
        "method": measurement.method.value,
        "landmark": measurement.landmark.value,
        "set_up_accepted": measurement.set_up_accepted,
    }
    document |= {} if measurement.error_mm is None else {"error_mm": measurement.error_mm}
    return document | ({"to_incisal_edge": True} if measurement.to_incisal_edge else {})


def _show_site(site: Site) -> Document:
    return _show_known(site)


def _show_known(values: Site | PresentDenture | ArchForm) -> Document:
    """Every field of which something is known."""
    known = {field.name: getattr(values, field.name) for field in fields(values)}
    return {name: value for name, value in known.items() if value is not None}
