"""Published and worded data as values: minima, risks, cautions, decision-aid items, wording."""
