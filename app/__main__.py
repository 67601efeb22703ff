"""`python3 app`: sets up what is missing, then is the program. Any Python can read this file, to be told off kindly."""

import os
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
# Python puts this folder first on its path, where our modules would shadow the standard library's: the root goes there.
sys.path[:] = [os.path.dirname(HERE)] + [entry for entry in sys.path if os.path.abspath(entry or ".") != HERE]

if sys.version_info < (3, 11):
    sys.stderr.write("bayfold: needs Python 3.11 or newer; this is %s\n" % sys.version.split()[0])
    sys.exit(2)

if __name__ == "__main__":
    from app.bootstrap import ensure
    from app.bootstrap.purpose import purpose_of

    ensure(purpose_of(sys.argv[1:]))

    from app.command_line import main

    sys.exit(main())
