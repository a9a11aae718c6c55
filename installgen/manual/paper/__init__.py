"""The manual as a book: HTML for paper, and the PDF that is made of it."""
