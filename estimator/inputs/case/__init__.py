"""The case: the patient, the jaws and what was measured."""
