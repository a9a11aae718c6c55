"""Drawings of a vessel's systems as inline SVG.

graph: what a drawing says · dot and labels: its text for Graphviz · render: many at once ·
square and channels: how lines run · svg: fit for a page · sheets: large ones in parts ·
plan: an engine by side · plots: curves · figure and tables: what stands in a page
"""
