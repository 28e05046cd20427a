"""The sentences of the field pages, by the names that their scripts use; {x} is filled in there."""

from django.utils.translation import gettext as _


def field_words() -> dict[str, str]:
    return {
        "field_log": _("Field log"),
        "now": _("now"),
        "needed": _("This is needed."),
        "nothing_waits": _("Nothing waits"),
        "waits_one": _("{n} waits to be sent"),
        "waits_many": _("{n} wait to be sent"),
        "resolve_one": _("{n} to resolve"),
        "resolve_many": _("{n} to resolve"),
        "as_of": _("as of {time}"),
        "never_heard": _("never in touch yet"),
        "no_signal": _("No answer from the server: results are kept here and sent later."),
        "unable": _(
            "The server can store nothing at the moment: results are kept here and sent later. If "
            "it goes on, tell whoever runs the server."
        ),
        "signed_out": _(
            "Your session has ended. You can go on; sign in as the same person to send what waits."
        ),
        "sign_in": _("Sign in"),
        "sign_in_later": _(
            "No answer from the server: signing in needs it. Try again with signal."
        ),
        "asking": _("Asking the server who is signed in…"),
        "closed": _("Nobody is signed in on this device."),
        "closed_more": _(
            "What was noted here stays on the device for whoever noted it, and is sent once that "
            "person signs in again."
        ),
        "fault": _("Something on this device failed: {fault}. Save what waits as a file."),
        "today": _("Today"),
        "other_days": _("Other days"),
        "no_drills": _(
            "No drill within the next days whose results you log. Course leads plan them."
        ),
        "cancelled": _("Cancelled: {reason}"),
        "assessed": _("ASSESSED: results count"),
        "practice": _("PRACTICE: results do not count"),
        "whose": _("Whose result?"),
        "no_students": _("This cohort has no students."),
        "logged_one": _("{n} logged"),
        "logged_many": _("{n} logged"),
        "none_logged": _("none yet"),
        "and_waiting": _("{n} waiting"),
        "not_carried": _("The form of this drill is not on this device yet. It needs signal once."),
        "not_here": _("That is not among the drills that this device carries."),
        "back_to_list": _("All drills"),
        "another": _("Another student"),
        "keep": _("Keep the result"),
        "keep_again": _("Keep and send again"),
        "no_result": _("No result…"),
        "no_result_why": _("Why is there none? One tap keeps it."),
        "no_result_words": _("In a few words (needed for another reason)"),
        "no_result_words_needed": _("Say in a few words why there is no result."),
        "no_result_ask": _("Keep “no result”? What you typed for this result is not kept then."),
        "kept": _("Kept on this device: {name}."),
        "pending": _("score pending"),
        "restored": _("What you had typed is still here."),
        "clear_draft": _("Clear the form"),
        "full": _(
            "NOT kept: this device has no room left. Your entries are still in the form. Free some "
            "room (photos, films), then keep it again, or write it on paper."
        ),
        "not_kept": _("NOT kept: {fault}. Your entries are still in the form."),
        "desk": _("The drill at the desk"),
        "results_here": _("Results on this device"),
        "see": _("see it"),
        "clock_off": _(
            "This device’s clock is {span} {side}. Times from “now” are set right by that."
        ),
        "fast": _("fast"),
        "slow": _("slow"),
        "minutes_seconds": _("{m} min {s} s"),
        "waiting_title": _("What waits on this device"),
        "waiting_none": _("Nothing. Every result noted here is stored at the school."),
        "slip": _(
            "A slip in a result that waits? Let it be sent. Then open it by “see it” on the page "
            "of its drill, and choose “Correct”."
        ),
        "send_now": _("Send now"),
        "save_file": _("Save as a file"),
        "load_file": _("Load a saved file"),
        "loaded": _("{n} taken from the file, {m} were here already."),
        "not_loaded": _("That file is not one of this person’s, saved here."),
        "tries_one": _("tried once"),
        "tries_many": _("tried {n} times"),
        "refused": _("Not stored"),
        "conflict": _("To resolve"),
        "edit": _("Mend it"),
        "send_anyway": _("Send it all the same"),
        "send_new_standard": _("Send it under the standard as it is now"),
        "give": _("Give it to"),
        "give_choose": _("choose student and drill"),
        "as_note": _("Hand it to the lead as a note"),
        "note_waits": _("Note for the lead"),
        "discard": _("Discard…"),
        "discard_ask": _("Type “{word}” to throw this away for good. It cannot be brought back."),
        "discard_word": _("discard"),
        "discard_not": _("Not discarded: the word was another one."),
        "headcount_item": _("Headcount"),
        "out_and_back": _("Out and back"),
        "lost": _("If someone is lost"),
        "lost_none": _("No steps are written down for this site. Follow your school’s own plan."),
        "rally": _("Rally point"),
        "safe_heading": _("Safe heading"),
        "emergency": _("In an emergency"),
        "local_rules": _("Local rules and those trained for it come before this page."),
        "nobody_out": _("Nobody noted as out"),
        "out": _("Out"),
        "out_n": _("{n} out"),
        "due": _("due {time}"),
        "no_due": _("no time set"),
        "overdue": _("OVERDUE by {n} min"),
        "overdue_title": _("OVERDUE"),
        "back": _("Back"),
        "back_all": _("All of these back"),
        "later": _("+ {n} min"),
        "send_out": _("Send out"),
        "who_goes": _("Who goes?"),
        "not_taken": _("Not in this drill’s groups"),
        "whole_group": _("A whole group"),
        "group_here": _("{name}: {n}"),
        "group_back": _("{name} back: {n}"),
        "choose_someone": _("Tap who goes first."),
        "due_in": _("Back in"),
        "minutes": _("{n} min"),
        "nobody_left": _("Everyone is out."),
        "count": _("Headcount"),
        "count_of": _("Counted by you, now"),
        "count_keep": _("Note the count"),
        "count_said": _("Last count: {n} at {time} by {by}"),
        "count_none": _("Not counted yet."),
        "count_expected": _("{here} of {all} should be with you."),
        "all_in": _("All in, by what had reached the server at {time}."),
        "all_in_not": _(
            "Nobody is noted as out here, but this device is not up to date ({as_of}): others may "
            "have sent someone out. Count."
        ),
        "own_count": _("This is an aid. Your own count rules."),
        "heard": _("{name}: heard at {time}"),
        "not_heard": _("{name}: NOT HEARD since {time}"),
        "device_waits": _("{n} waiting there"),
        "devices": _("Other devices"),
        "devices_none": _("No other device has been heard in this cohort."),
        "devices_warning": _("What a device noted after it was last heard is not counted here."),
        "silent_phone": _(
            "A locked or switched-off phone is silent. Keep this page open and the sound on."
        ),
        "sound_on": _("Turn the sound on"),
        "sound_test": _("Test the sound"),
        "awake": _("The screen is kept awake."),
        "not_awake": _("The screen may go dark: this browser cannot keep it awake now."),
        "paper_count": _("Headcount on paper"),
        "light": _("Light"),
        "bright": _("bright"),
        "dark": _("dark"),
        "red": _("red"),
        "notes_one": _("{n} note from the field for the lead"),
        "notes_many": _("{n} notes from the field for the lead"),
        "you": _("you"),
        "leave": _("Sign out"),
        "leave_ask": _(
            "Sign out now? The server does not answer, so nobody can sign in here again before it "
            "does: until then there is no field log and no headcount on this device. What waits "
            "stays on it."
        ),
        "said_of": _("{name}: {text}"),
    }
