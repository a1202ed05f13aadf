"""The drawing of one option at every site of a jaw: parts and sites as plain values become shapes to scale."""
