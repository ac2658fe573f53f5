"""Projects in the browser's own storage: kept, opened, copied, renamed and deleted."""

from __future__ import annotations

from tests.browser.test_story import a_phone_as_a_rule, fits, headline, settled, view

NAME = "Camp <img src=x onerror=alert(1)> & *co*"


def projects_view(page):
    settled(page)
    view(page, "Save")
    page.get_by_role("button", name="Save here").wait_for()


def listed(page):
    return page.locator(".projects .name").all_inner_texts()


def saved(page, name):
    page.get_by_label("Project's name", exact=True).fill(name)
    page.get_by_role("button", name="Save here").click()


@a_phone_as_a_rule
def test_a_project_is_there_when_the_page_is_loaded_anew(open_page, faults, size):
    page = open_page(size, scheme="dark" if size == "phone" else "light")
    sent = []
    page.on("websocket", lambda socket: socket.on("framesent", lambda data: sent.append(data)))
    projects_view(page)
    page.get_by_text("No project is kept in this browser yet.").wait_for()
    saved(page, NAME)
    page.get_by_text(f"Saved in this browser: {NAME}").wait_for()
    page.get_by_role("button", name="Start from a class").click()
    page.get_by_role("button", name="Full bus", exact=True).click()
    page.get_by_text("The design is that of a class now").wait_for()
    # Another design and another visit: what was kept is still there.
    page.reload()
    page.get_by_role("button", name="Save here").wait_for()
    settled(page)
    assert listed(page) == [NAME]
    assert not any(
        NAME.encode() in bytes(data, "utf-8") if isinstance(data, str) else NAME.encode() in data
        for data in sent
    )
    page.get_by_role("button", name=f"Open {NAME}").click()
    page.get_by_text(f"The project is open: {NAME}").wait_for()
    settled(page)
    assert (faults(page), fits(page)) == ([], [True, []])
    view(page, "Answer")
    assert "Weekender" in headline(page)


def test_it_is_copied_renamed_replaced_and_deleted_only_when_asked_twice(open_page, faults):
    page = open_page("phone")
    projects_view(page)
    saved(page, "One")
    page.get_by_role("button", name="Duplicate One").click()
    assert listed(page) == ["One", "One 2"]
    page.get_by_role("button", name="Rename One 2").click()
    page.get_by_label("New name of One 2").fill("One")
    page.keyboard.press("Enter")
    page.get_by_text("There is a project of that name: One").wait_for()
    page.get_by_label("New name of One 2").fill("Two")
    page.keyboard.press("Enter")
    page.get_by_text("Renamed: Two").wait_for()
    saved(page, "Two")
    page.get_by_role("button", name="Leave it: Two").click()
    assert listed(page) == ["One", "Two"]
    saved(page, "Two")
    page.get_by_role("button", name="Replace: Two").click()
    assert listed(page) == ["Two", "One"]
    page.get_by_role("button", name="Delete One").click()
    assert faults(page) == []
    page.get_by_role("button", name="Keep it: One").click()
    assert listed(page) == ["Two", "One"]
    page.get_by_role("button", name="Delete One").click()
    page.get_by_role("button", name="Delete: One").click()
    page.get_by_text("Deleted: One").wait_for()
    assert listed(page) == ["Two"]


def test_a_storage_that_is_full_or_damaged_is_said(open_page):
    page = open_page("phone")
    projects_view(page)
    saved(page, "Kept")
    page.evaluate(
        """() => {
            for (let size = 4_000_000; size > 0; size = Math.floor(size / 2)) {
                for (let n = 0; n < 8; n += 1) {
                    try { localStorage.setItem(`fill ${size} ${n}`, 'x'.repeat(size)); } catch {}
                }
            }
        }"""
    )
    saved(page, "One too many")
    page.get_by_text("storage for the app is full").wait_for()
    assert listed(page) == ["Kept"]
    page.evaluate(
        """() => {
            localStorage.clear();
            localStorage.setItem('solarsim.projects', '[{"name": 5}, {"name": "a"}, null, 7]');
        }"""
    )
    page.reload()
    page.get_by_text("Some of what was kept here cannot be read.").wait_for()
    assert listed(page) == []


def test_a_browser_that_keeps_nothing_is_told_so(open_page):
    page = open_page("phone")
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', "
        "{ get() { throw new DOMException('no', 'SecurityError'); } })"
    )
    page.reload()
    page.get_by_text("Count on").first.wait_for()
    projects_view(page)
    page.get_by_text("This browser keeps nothing for this app").wait_for()
    saved(page, "Lost")
    page.get_by_text("This browser keeps nothing for this app").wait_for()
    assert page.get_by_test_id("stException").count() == 0
