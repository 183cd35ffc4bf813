"""What stands in the shop, and who works there?"""
