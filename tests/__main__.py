"""`python3 tests`: sets up what is missing, then lints, checks types and runs the tests.

`--long` takes longer runs as well. Any other argument goes to pytest, which then runs alone.
"""

import os
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(HERE)
# As in app: this folder's modules must not stand before the standard library's.
sys.path[:] = [ROOT] + [entry for entry in sys.path if os.path.abspath(entry or ".") != HERE]

if sys.version_info < (3, 11):
    sys.stderr.write("bayfold: needs Python 3.11 or newer; this is %s\n" % sys.version.split()[0])
    sys.exit(2)


def main(arguments):
    """Run each check, going on after a failure; answers the first bad status."""
    import subprocess

    # Paths are meant from where the command was given; everything runs from the root.
    arguments = [os.path.abspath(one) if os.path.exists(one.split("::")[0]) else one for one in arguments]
    writable = os.access(ROOT, os.W_OK)
    tests = ["pytest"] + ([] if writable else ["-p", "no:cacheprovider"])
    if [one for one in arguments if one != "--long"]:
        checks = [tests + arguments]
    else:
        workers = ["-n", str(min(4, os.cpu_count() or 1)), "--dist", "worksteal"]
        lint = ["ruff", "check"] + ([] if writable else ["--no-cache"])
        layout = ["ruff", "format", "--check"] + ([] if writable else ["--no-cache"])
        types = ["mypy"] + ([] if writable else ["--cache-dir", os.devnull])
        checks = [lint, layout, types, tests + workers + arguments]
    statuses = []
    for check in checks:
        sys.stdout.write("$ " + " ".join(check) + "\n")
        sys.stdout.flush()
        statuses.append(subprocess.call([sys.executable, "-m"] + check, cwd=ROOT))
    return next((status for status in statuses if status), 0)


if __name__ == "__main__":
    from app.bootstrap import ensure

    ensure("tests")
    sys.exit(main(sys.argv[1:]))
