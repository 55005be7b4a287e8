"""The mouse of the terminal: taken by the console, or left to the terminal itself."""

from textual.driver import Driver


def switch_mouse(driver: Driver | None) -> bool:
    """Take the mouse or leave it to the terminal, the other way than now; return whether it is taken. Drivers
    that know no mouse stay without."""
    if driver is None or not hasattr(driver, "_disable_mouse_support"):
        return False
    if driver._mouse:
        driver._disable_mouse_support()
        driver._mouse = False
    else:
        driver._mouse = True
        driver._enable_mouse_support()  # type: ignore[attr-defined]
    driver.flush()
    return driver._mouse
