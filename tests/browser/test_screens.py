"""The three screens in a real browser, by touch and without scripts."""

from __future__ import annotations

import wave
from pathlib import Path
from typing import Any
from urllib.parse import urljoin

import pytest

pytest.importorskip("selenium", reason="selenium is not installed")

from selenium.common.exceptions import StaleElementReferenceException, TimeoutException
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

SMALLEST_TOUCH = 44
"""Pixels of CSS that a target has at least both ways; common practice, no source."""


def _text(browser: Any, selector: str = "main") -> str:
    found: str = browser.find_element(By.CSS_SELECTOR, selector).text
    return found


def _wait_for(browser: Any, words: str) -> None:
    # The page that is being left may be met once more.
    leaving = [StaleElementReferenceException]
    wait = WebDriverWait(browser, 30, ignored_exceptions=leaving)
    try:
        wait.until(lambda b: words in _text(b))
    except TimeoutException:
        pytest.fail(f"{words!r} is not on {browser.current_url}: {_text(browser)}")


def _keep(browser: Any, address: str, memo: str) -> None:
    browser.get(address)
    browser.find_element(By.ID, "memo").send_keys(memo)
    browser.find_element(By.CSS_SELECTOR, "button.main").click()
    _wait_for(browser, "Kept as memo")


def _button(browser: Any, words: str) -> Any:
    return next(b for b in browser.find_elements(By.TAG_NAME, "button") if b.text == words)


def test_no_script_runs_in_these_tests(browser: Any) -> None:
    browser.get("data:text/html,<title>still</title><script>document.title = 'moved'</script>")
    assert browser.title == "still"


def test_a_memo_is_kept_and_its_chore_is_done(browser: Any, address: str) -> None:
    browser.get(address)
    assert "2 left" in _text(browser)
    _keep(browser, address, "nine eggs from coop a")
    assert "1 left" in _text(browser)
    assert "1 done" in _text(browser)
    assert "coop A" in _text(browser, ".told")
    assert "9" in _text(browser, ".told")
    # Loading it again sends nothing again.
    browser.refresh()
    assert "Kept as memo 1." in _text(browser)


def test_a_question_is_answered_with_its_memos(browser: Any, address: str) -> None:
    _keep(browser, address, "nine eggs from coop a")
    browser.find_element(By.LINK_TEXT, "Ask").click()
    browser.find_element(By.ID, "q").send_keys("how many eggs today")
    browser.find_element(By.CSS_SELECTOR, "button.main").click()
    _wait_for(browser, "memo 1")
    assert "9" in _text(browser, ".answer")


def test_a_day_is_reviewed_to_its_end(browser: Any, address: str) -> None:
    _keep(browser, address, "nine eggs from coop a")
    _keep(browser, address, "four eggs from coop b")
    browser.find_element(By.LINK_TEXT, "Review").click()
    assert "2 to confirm" in _text(browser)
    _button(browser, "Confirm all 2 without a doubt")
    _button(browser, "Confirm").click()
    _wait_for(browser, "1 to confirm")
    browser.find_element(By.CSS_SELECTOR, ".record summary").click()
    browser.find_element(By.CSS_SELECTOR, ".record details input[name=words]").send_keys("five")
    browser.find_element(By.CSS_SELECTOR, ".record details button").click()
    _wait_for(browser, "The day is finished")
    assert "was 4, is 5" in _text(browser)


def test_plain_words_are_understood_in_the_review(browser: Any, address: str) -> None:
    _keep(browser, address, "nine eggs from coop a")
    browser.get(f"{address}review")
    browser.find_element(By.ID, "words").send_keys("scratch the first")
    _button(browser, "Send").click()
    _wait_for(browser, "is withdrawn")
    _wait_for(browser, "The day is finished")


def test_a_recording_is_sent(browser: Any, address: str, tmp_path: Path) -> None:
    silence = tmp_path / "quiet.wav"
    with wave.open(str(silence), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(16000)
        sound.writeframes(bytes(32000))
    browser.get(address)
    browser.find_element(By.TAG_NAME, "summary").click()
    browser.find_element(By.ID, "recording").send_keys(str(silence))
    browser.find_element(By.CSS_SELECTOR, "button.main").click()
    _wait_for(browser, "no words were heard")


@pytest.mark.parametrize("screen", ["", "ask", "review", "nowhere"])
def test_a_screen_fits_and_its_targets_are_large(browser: Any, address: str, screen: str) -> None:
    _keep(browser, address, "nine eggs from coop a and " + "very" * 60)
    browser.get(address + screen)
    size = browser.execute_cdp_cmd("Page.getLayoutMetrics", {})
    wide = size["cssContentSize"]["width"]
    assert wide <= size["cssLayoutViewport"]["clientWidth"]
    for target in browser.find_elements(By.CSS_SELECTOR, "a, button, summary, input, textarea"):
        if target.is_displayed():
            assert target.size["height"] >= SMALLEST_TOUCH, target.get_attribute("outerHTML")
            assert target.size["width"] >= SMALLEST_TOUCH, target.get_attribute("outerHTML")


def test_nothing_is_asked_of_another_machine(browser: Any, address: str) -> None:
    _keep(browser, address, "nine eggs from coop a")
    for screen in ("", "ask?q=how+many+eggs", "review"):
        browser.get(address + screen)
        for element in browser.find_elements(By.CSS_SELECTOR, "[src], [href], [action]"):
            for attribute in ("src", "href", "action"):
                place = element.get_dom_attribute(attribute) or ""
                assert urljoin(browser.current_url, place).startswith(address)
