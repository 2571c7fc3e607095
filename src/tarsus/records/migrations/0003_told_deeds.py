"""The ledger of told deeds."""

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

from tarsus.records.append_only import lay_guards


def lay(apps, schema_editor):
    # SQLite drops the triggers of a table that it remakes.
    lay_guards(schema_editor.connection)


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0002_guards'),
    ]

    operations = [
        migrations.AlterField(
            model_name='waiting',
            name='kind',
            field=models.CharField(max_length=30),
        ),
        migrations.AlterField(
            model_name='withdrawal',
            name='kind',
            field=models.CharField(max_length=30),
        ),
        # What was said of a handling is in the ledger, as of any other deed.
        migrations.RemoveField(model_name='handling', name='contents'),
        migrations.CreateModel(
            name='ToldDeed',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('kind', models.CharField(max_length=30)),
                ('contents', models.JSONField(default=dict)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField(default=django.utils.timezone.now)),
                ('device', models.CharField(blank=True, max_length=64)),
                ('digest', models.CharField(max_length=32)),
                ('corrects', models.UUIDField(db_index=True, null=True)),
                ('why_corrected', models.CharField(blank=True, max_length=300)),
                ('wrote', models.JSONField(default=dict)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='DeedBird',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('bird', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='deeds', to='records.bird')),
                ('deed', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='birds', to='records.tolddeed')),
            ],
        ),
        migrations.AddIndex(
            model_name='tolddeed',
            index=models.Index(fields=['kind', 'happened_at'], name='deed_of_kind'),
        ),
        migrations.AddConstraint(
            model_name='tolddeed',
            constraint=models.CheckConstraint(condition=models.Q(('kind', ''), _negated=True), name='tolddeed_kind_said'),
        ),
        migrations.AddConstraint(
            model_name='tolddeed',
            constraint=models.CheckConstraint(condition=models.Q(('digest', ''), _negated=True), name='tolddeed_digest_said'),
        ),
        migrations.AddConstraint(
            model_name='deedbird',
            constraint=models.UniqueConstraint(fields=('deed', 'bird'), name='deed_once_a_bird'),
        ),
        migrations.RunPython(lay, migrations.RunPython.noop),
    ]
