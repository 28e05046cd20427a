from django.db import migrations, models

from coursework import migrations as real
from tests.engines.next_version.after import newest


def fill(apps, schema_editor):
    for course in apps.get_model("coursework", "Course").objects.all():
        course.title_length = len(course.title)
        course.save(update_fields=["title_length"])


class Migration(migrations.Migration):
    dependencies = [("coursework", newest(real))]
    operations = [
        migrations.AddField("Course", "title_length", models.PositiveSmallIntegerField(null=True)),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
