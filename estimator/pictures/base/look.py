"""Colours by role, for light and dark screens, print, and print in grey."""

Colours = dict[str, str]

LIGHT: Colours = {
    "paper": "#FAFAF7", "stone": "#EDECE6", "line": "#76768C", "ink": "#22223B", "quiet": "#48485F",
    "must": "#363A73", "usual": "#8086BE", "pale": "#DDDFF0",
    "rule": "#E8CE8B", "rule_edge": "#866A1C", "on_rule": "#22223B", "tooth": "#FFFFFF",
}  # fmt: skip
DARK: Colours = {
    "paper": "#15161F", "stone": "#22242F", "line": "#7D7E93", "ink": "#F1F0EA", "quiet": "#B9B9C6",
    "must": "#B9BEF5", "usual": "#5E63A4", "pale": "#2B2D4A",
    "rule": "#D9BC6E", "rule_edge": "#B99A45", "on_rule": "#22223B", "tooth": "#F1F0EA",
}  # fmt: skip
PRINT: Colours = LIGHT | {"paper": "#FFFFFF", "stone": "#F0EFEA"}
GREY: Colours = {
    "paper": "#FFFFFF", "stone": "#F0F0F0", "line": "#757575", "ink": "#1C1C1C", "quiet": "#444444",
    "must": "#3B3B3B", "usual": "#8C8C8C", "pale": "#E2E2E2",
    "rule": "#E4E4E4", "rule_edge": "#6B6B6B", "on_rule": "#1C1C1C", "tooth": "#FFFFFF",
}  # fmt: skip
