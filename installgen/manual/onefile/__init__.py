"""The manual as one HTML file that a telephone opens: pages, drawings and search inside."""
