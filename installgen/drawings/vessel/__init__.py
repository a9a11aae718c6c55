"""One vessel's drawings, one kind a file; `vessel_drawings` makes them all."""
