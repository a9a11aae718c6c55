"""The whole manual in one document: order, addresses, index of short codes."""
