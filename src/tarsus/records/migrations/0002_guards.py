"""Let the database itself refuse to change or delete facts."""

from django.db import migrations

from tarsus.records.append_only import lay_guards, lift_guards


def lay(apps, schema_editor):
    lay_guards(schema_editor.connection)


def lift(apps, schema_editor):
    lift_guards(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("records", "0001_register")]
    operations = [migrations.RunPython(lay, lift)]
