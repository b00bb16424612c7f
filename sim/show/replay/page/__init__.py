"""The replay as one page that needs nothing else: styles, modules and stories in one file."""
