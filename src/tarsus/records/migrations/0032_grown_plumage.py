from django.db import migrations, models

from tarsus.records.append_only import lay_guards


def lay(apps, schema_editor):
    # SQLite makes the table anew, and its triggers go with the old one.
    lay_guards(schema_editor.connection)


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0031_found_by_time'),
    ]

    operations = [
        migrations.AddField(
            model_name='species',
            name='grown_plumage_at_days',
            field=models.PositiveSmallIntegerField(blank=True, null=True),
        ),
        migrations.RunPython(lay, migrations.RunPython.noop),
    ]
