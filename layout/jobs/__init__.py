"""One function per verb: a file and options in, a result out; the Python API behind every command."""
