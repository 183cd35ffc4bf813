"""Printing a batch: the report for whoever reads it years later, and the certificate for the customer.

Owns what is said on paper and how. Every figure comes from the folded journal, every verdict from
verification; must not prove, compute or decide anything of its own.
"""
