"""A register that the demo filled says so for good; those of before are known by the invented park's name."""

from django.db import migrations, models

from tarsus.records.append_only import lay_guards

INVENTED = "Wendlebrook Bird Garden"


def mark(apps, schema_editor):
    apps.get_model("records", "Park").objects.using(schema_editor.connection.alias).filter(name=INVENTED).update(invented=True)


def lay(apps, schema_editor):
    lay_guards(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("records", "0014_round_light")]

    operations = [
        migrations.AddField(
            model_name="park",
            name="invented",
            field=models.BooleanField(default=False),
        ),
        migrations.RunPython(mark, migrations.RunPython.noop),
        # SQLite may make the tables anew, without their guards.
        migrations.RunPython(lay, migrations.RunPython.noop),
    ]
