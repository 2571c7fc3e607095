"""What is asked of the last hours and days is found by when it happened, however many years stand behind it."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [("records", "0029_jobs")]

    operations = [
        migrations.AddIndex("sighting", models.Index(fields=["happened_at"], name="sighting_at")),
        migrations.AddIndex("roundclosed", models.Index(fields=["happened_at"], name="roundclosed_at")),
        migrations.AddIndex("count", models.Index(fields=["happened_at"], name="count_at")),
        migrations.AddIndex("count", models.Index(fields=["recorded_at"], name="count_recorded")),
        migrations.AddIndex("roundnotdone", models.Index(fields=["happened_at"], name="roundnotdone_at")),
    ]
