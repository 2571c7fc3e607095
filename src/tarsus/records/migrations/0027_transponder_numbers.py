import re

from django.db import migrations

# As numbers are kept since: between fifteen digits blanks, points and hyphens do not count.
CODE = re.compile(r"[0-9]{15}")
BETWEEN = re.compile(r"[\s.\-]")


def write_as_antennas_read(apps, schema_editor):
    """Write numbers that were kept with separators as an antenna reads them.

    What was told of them stays in the ledger as it was told, and a read that found nobody stays nobody's. Where two
    chips that stand would then have one number, both stay as they are: which bird's it is only somebody who looks
    can say.
    """
    transponders = apps.get_model("records", "Transponder").objects.order_by("pk")
    standing = {}
    for row in transponders:
        plain = BETWEEN.sub("", row.number)
        as_kept = plain if CODE.fullmatch(plain) else row.number
        if row.taken_back_at is None:
            standing.setdefault(as_kept, []).append(row.pk)
    for row in transponders:
        plain = BETWEEN.sub("", row.number)
        if plain == row.number or not CODE.fullmatch(plain):
            continue
        if row.taken_back_at is None and len(standing[plain]) > 1:
            continue
        transponders.filter(pk=row.pk).update(number=plain)


class Migration(migrations.Migration):
    dependencies = [("records", "0026_visitors")]

    operations = [migrations.RunPython(write_as_antennas_read, migrations.RunPython.noop)]
