"""`python -m installgen`: the command line."""

from installgen.cli import main

if __name__ == "__main__":
    main()
