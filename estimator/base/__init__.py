"""The ground: money, problems, evidence. Nothing here knows a patient."""
