"""A process runner for a plating shop: plan a batch, walk it through its tanks, keep its proof."""

__version__ = "0.1.0"
