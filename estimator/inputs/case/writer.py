"""A Case becomes the document it could have been read from: what a saved case and a downloaded case file hold."""

from typing import Any

from estimator.inputs.case.model import Case, Earlier, Jaw, Measurement, Patient, PresentDenture, Retention, Site

Document = dict[str, Any]


def make_document(case: Case) -> Document:
    """The case as plain TOML values; `read_case` makes the same case of it again."""
    return {
        "reference": case.reference,
        "health": list(case.health),
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
        "attachments_on_bar": jaw.attachments_on_bar,
        "denture": jaw.denture.value,
        "placement": jaw.placement.value,
        "extractions": jaw.extractions,
    }
    document |= _show_asked(jaw)
    if jaw.ridge_to_ridge_mm is not None:
        document["ridge_to_ridge_mm"] = jaw.ridge_to_ridge_mm
    if jaw.abutment_heights_mm:
        document["abutment_heights_mm"] = list(jaw.abutment_heights_mm)
    if jaw.present_denture != PresentDenture():
        document["present_denture"] = _show_known(jaw.present_denture, ("base_stable", "tall_attachments"))
    if jaw.measurement is not None:
        document["measurement"] = _show_measurement(jaw.measurement)
    if jaw.sites:
        document["sites"] = [_show_site(site) for site in jaw.sites]
    if jaw.earlier is not None:
        document["earlier"] = _show_earlier(jaw.earlier)
    return document


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
    return document | ({} if measurement.error_mm is None else {"error_mm": measurement.error_mm})


def _show_site(site: Site) -> Document:
    fields = ("restorative_space_mm", "tissue_mm", "platform_below_crest_mm", "width_mm", "angle_md_deg",
              "angle_fl_deg", "position_mm", "denture_thickness_mm")  # fmt: skip
    return {"tooth": site.tooth, **_show_known(site, fields)}


def _show_known(values: Site | PresentDenture, fields: tuple[str, ...]) -> Document:
    return {name: getattr(values, name) for name in fields if getattr(values, name) is not None}
