"""The command line: one module a command, imported only when it is called.

`tarsus --help` must answer as fast as a shell expects, so this module imports nothing but `sys`; the one-line
summaries stand here, and `tests/cli` holds them to the modules' own.

Decision 0008.
"""

from __future__ import annotations

import sys
from typing import Final

COMMANDS: Final[dict[str, tuple[str, str]]] = {
    # command: (module below tarsus.cli, summary)
    "demo": ("demo", "Load the invented park and serve it."),
    "serve": ("serve", "Serve this park's register to phones and desks."),
    "import": ("import_", "Bring in a park's own spreadsheet."),
    "tell": ("tell", "Record something: any deed, as pages and phones do."),
    "export": ("export", "Write everything out as tables."),
    "backup": ("backup", "Copy the register while it runs."),
    "check": ("check", "Say whether register, backups, disk and clock are sound."),
    "letters": ("letters", "Tell each person who asked what is overdue, by mail or phone, once a day."),
    "restore": ("restore", "Put a backup in the register's place."),
    "move-register": ("move_register", "Carry the whole register into another database, and compare."),
    "identify": ("identify", "Say who a bird is from what was read of its bands."),
    "capacity": ("capacity", "Say how many birds can be told apart."),
    "assign": ("assign", "Choose marks that nobody will mistake."),
    "reconcile": ("reconcile", "Weigh the readings of one round together."),
    "watch": ("watch", "Say who is still here, and where to look again."),
    "learn": ("learn", "Re-estimate a reader from confirmed readings."),
    "photograph": ("photograph", "Say what colours the bands in a photograph have, and whose they are."),
    "weights": ("weights", "Hold each weight against the bird's own usual one."),
    "catch-up": ("catch_up", "Choose which birds to catch within the minutes."),
    "inventory": ("inventory", "Count what came, went and is here, so that it balances."),
    "study": ("study", "Simulate a season under a marking rule."),
    "settings": ("settings", "Show what this installation was told, and by whom."),
    "manage": ("manage", "Upkeep of the register (migrations, people)."),
}


def usage() -> str:
    """The text of `tarsus --help`."""
    width = max(map(len, COMMANDS))
    lines = [f"  {name:<{width}}  {summary}" for name, (_, summary) in COMMANDS.items()]
    return "\n".join(
        [
            "Tarsus: every bird seen, every day.",
            "",
            "usage: tarsus COMMAND [options]      tarsus COMMAND --help for one command",
            "",
            *lines,
        ]
    )


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit status."""
    args = sys.argv[1:] if argv is None else argv
    if not args or args[0] in ("-h", "--help", "help"):
        print(usage())
        return 0
    if args[0] == "--version":
        from tarsus.cli.version import version_line

        print(version_line())
        return 0
    name, *rest = args
    if name not in COMMANDS:
        import difflib

        near = difflib.get_close_matches(name, COMMANDS, n=1)
        hint = f"did you mean '{near[0]}'?" if near else "see tarsus --help"
        print(f"tarsus: '{name}' is no command; {hint}", file=sys.stderr)
        return 2
    from importlib import import_module

    from tarsus.cli.running import run_command

    module = import_module(f"tarsus.cli.{COMMANDS[name][0]}")
    return run_command(module.run, rest)


if __name__ == "__main__":
    sys.exit(main())
