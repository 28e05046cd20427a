from django.db import migrations, models

from assessments import migrations as real
from tests.engines.next_version.after import newest


def fill(apps, schema_editor):
    remark = apps.get_model("assessments", "Remark")
    keys = apps.get_model("assessments", "Attempt").objects.values_list("pk", flat=True)
    remark.objects.bulk_create(remark(attempt_id=key) for key in keys)


class Migration(migrations.Migration):
    dependencies = [("assessments", newest(real))]
    operations = [
        migrations.CreateModel(
            "Remark",
            [
                ("id", models.BigAutoField(primary_key=True)),
                ("attempt", models.ForeignKey("assessments.Attempt", models.CASCADE)),
            ],
        ),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
