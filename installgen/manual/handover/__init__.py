"""What a vessel is handed over with, besides her site: files, check sums, one archive."""
