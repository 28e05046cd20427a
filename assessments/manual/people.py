"""Pages for those who use the application: lead, assistant, student; and safety."""

from django.utils.translation import gettext as _

from assessments.manual.parts import Heading, Page, Part, Text
from coursework import cautions


def pages() -> list[Page]:
    return [
        Page("lead", _("For the lead"), _("From an empty school to a signed certificate."), _lead),
        Page(
            "assistant",
            _("For the assistant"),
            _("A day in the field: before, during and after."),
            _assistant,
        ),
        Page("student", _("For the student"), _("What your results tell you to do."), _student),
    ]


def safety_page() -> Page:
    return Page(
        "safety",
        _("Safety"),
        _("Read this first. Local rules and licensed practice come before it."),
        _safety,
    )


def _lead() -> list[Part]:
    return [
        Heading(_("To set up a school")),
        Text(
            _(
                "1. Add a [site](term:site): position, time zone, and the [skyline](term:skyline), "
                "which says when the sun is to be seen there. Add a "
                "[reference mark](term:reference-mark) or two for checks without a magnet.\n"
                "2. Add a [course](term:course), import one from a file, or adopt the sample "
                "course from the list of courses and change it to your own. A course holds "
                "lessons and exercises; an exercise is a method, a task and a standard.\n"
                "3. Publish it. A published version no longer changes; a change makes the next.\n"
                "4. Add a [cohort](term:cohort): who takes the course, and when. Bring its people "
                "in as a roster from a spreadsheet, or by links that they open themselves."
            )
        ),
        Heading(_("To plan")),
        Text(
            _(
                "The planner of a site shows, for a whole year, at which hours a method is right "
                "there. Choose the hour before the tolerance: a line laid at a bad hour says "
                "little about the student. When you plan a drill, what speaks against it stands "
                "beside the form: people in two places, too few instructors, a lesson neither held "
                "nor planned, the sun behind the skyline, a method that is off by more than the "
                "tolerance. You may hold it all the same, with your reason."
            )
        ),
        Text(
            _(
                "Lessons are planned the same way, from the page of the cohort or the calendar: a "
                "[planned lesson](term:planned-lesson) has an hour, a place, people, and what "
                "speaks against it. A drill that rests on a lesson is content once the lesson is "
                "planned to end before it. A proposed timetable leaves planned lessons where they "
                "are and can place the missing ones too. From the planned lesson you take the "
                "attendance of its people."
            )
        ),
        Heading(_("To judge")),
        Text(
            _(
                "- Read the [split](page:split) before the [verdict](page:verdict).\n"
                "- The record of a student takes their errors apart and says what to change next; "
                "that of a cohort shows who lacks what.\n"
                "- A [sign-off](term:sign-off) is your word that a skill was shown. It keeps the "
                "results that it rests on. A later correction of one of them opens it again.\n"
                "- A result within the standard only because the method’s error cancelled a larger "
                "own error is shown apart. Look at it before you sign."
            )
        ),
    ]


def _assistant() -> list[Part]:
    return [
        Heading(_("Before you leave signal")),
        Text(
            _(
                "- Open the [field log](term:field-log) on the phone once. The drills of these "
                "days and their pages then work without signal.\n"
                "- Look at the site’s hazards, its [rally point](term:rally-point) and its "
                "[safe heading](term:safe-heading). Print the run sheet, the sun card and the "
                "emergency card if you can: paper has no battery.\n"
                "- See that your compass or protractor was checked in time."
            )
        ),
        Heading(_("At the drill")),
        Text(
            _(
                "1. Count everyone, and note who goes out and until when.\n"
                "2. Hide the answer: no compass is shown before the line is laid.\n"
                "3. Note the time of each mark to the minute. The method’s error hangs on it.\n"
                "4. Ask whether the student declares a correction, before you check.\n"
                "5. Check the line, note the reading as it stands, and with which instrument. Do "
                "not correct it in your head: that is done for you.\n"
                "6. No result is a result too: note why."
            )
        ),
        Heading(_("Afterwards")),
        Text(
            _(
                "Count everyone in. What was logged without signal is sent by itself as soon as "
                "the server is heard; what still waits is counted on the first page and in the "
                "field log. Keep the phone until nothing waits. A slip is put right with "
                "“Correct”: the earlier record stays, with your reason."
            )
        ),
    ]


def _student() -> list[Part]:
    return [
        Text(
            _(
                "Your result is the sum of what the method does at that hour and what you did. "
                "Only the second is yours to better. Read [the split](page:split) once, with "
                "[the example](page:example)."
            )
        ),
        Heading(_("What to do with a result")),
        Text(
            _(
                "- **A large error of the method’s:** choose another hour, another method, or "
                "declare a correction before the check.\n"
                "- **A large own error, always to one side:** look for one cause. A stick that "
                "leans, a hand that covers less than you think, a watch on summer time.\n"
                "- **Own errors to both sides:** the marks. Set them smaller and further apart.\n"
                "- **About 180° off:** the line was laid end for end. Say aloud which mark came "
                "first.\n"
                "- **Too close to call:** lay again. It says nothing against you."
            )
        ),
        Heading(_("Between drills")),
        Text(
            _(
                "Log your own practice: it does not count and nobody signs it off, but it is taken "
                "apart in the same way. The practice corner asks for a shadow’s direction at one "
                "of your sites, to train the eye. While an assessed drill of yours is on, numbers "
                "of that site are hidden, since they would answer it."
            )
        ),
    ]


def _safety() -> list[Part]:
    return [
        Text(
            _(
                "**Local rules and licensed practice come first.** Land and fire rules, the "
                "school’s own safety plan, the law on leading others outdoors, and whoever is in "
                "charge on the day go before anything in this manual. What stands here is common "
                "practice, and no training."
            )
        ),
        Heading(_("Never look at the sun")),
        Text(
            _(
                "Not even when it is low, not to line something up, not through a sight, a lens, "
                "dark glasses or cloud. The harm is painless at first and can stay for life. "
                "Every method here works from the shadow. When counting hands, cover the sun with "
                "the hand and look at the horizon."
            )
        ),
        Heading(_("Heat")),
        Text(cautions.heat_rule()),
        Text(
            _(
                "Marking shadows means standing in the open for hours. Shade, water, a hat and "
                "breaks come before the exercise; watch each other for signs. In winter the same "
                "standing still makes people cold."
            )
        ),
        Heading(_("Lightning")),
        Text(cautions.lightning_rule()),
        Heading(_("Separation")),
        Text(
            _(
                "Work in pairs, in sight or in call. Agree on a meeting point and a time. Count "
                "everyone out and in: the headcount of the application is an aid, the "
                "instructor’s own count rules. If someone is missing:"
            )
        ),
        Text("\n".join(f"1. {step}" for step in cautions.lost_person_steps())),
        Heading(_("On the move, and in the dark")),
        Text(
            "\n".join(
                f"- **{one.head}** {one.text}"
                for method in ("compass-leg", "pole-star")
                for one in cautions.cautions(method)[:2]
            )
        ),
        Heading(_("What an improvised line is for")),
        Text(
            _(
                "It gives a rough direction, often 10° to 20° off. Use it with a line that "
                "catches you: a road, a river, a ridge, a wall. Do not walk it towards a cliff, a "
                "coast or a border, and do not give up a working compass for it."
            )
        ),
    ]
