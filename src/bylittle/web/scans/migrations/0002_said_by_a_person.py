from django.db import migrations, models


def one_adult_for_all_days(apps, schema_editor):
    """Who practised was one answer for the whole sheet; and the initials on a sheet were the plan's."""
    for scan in apps.get_model("scans", "Scan").objects.select_related("plan"):
        scan.adults = {str(day): scan.adult for day in range(1, 8)} if scan.adult else {}
        scan.initials = list(scan.plan.initials)[:4] if scan.plan else []
        scan.save(update_fields=["adults", "initials"])


class Migration(migrations.Migration):
    dependencies = [("scans", "0001_initial")]

    operations = [
        migrations.AddField("scan", "adults", models.JSONField(default=dict)),
        migrations.AddField("scan", "initials", models.JSONField(default=list)),
        migrations.AddField("scan", "refusal", models.CharField(blank=True, max_length=20)),
        migrations.AddField("scan", "trail", models.JSONField(default=list)),
        migrations.AddField("scan", "week", models.CharField(blank=True, max_length=8)),
        migrations.RunPython(one_adult_for_all_days, migrations.RunPython.noop),
        migrations.RemoveField("scan", "adult"),
    ]
