"""What is bad plating, and why? The rules of the trade, grouped in files by what they guard."""
