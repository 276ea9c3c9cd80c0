(() => {
  try {
    const page = "ticks of PAGE";
    const ticked = new Set((localStorage.getItem(page) || "").split(" "));
    document.querySelectorAll("input[type=checkbox]").forEach((box, i) => {
      const name = String(i);
      box.checked = ticked.has(name);
      box.addEventListener("change", () => {
        try {
          ticked[box.checked ? "add" : "delete"](name);
          localStorage.setItem(page, [...ticked].join(" "));
        } catch (e) {}
      });
    });
  } catch (e) {}
})();
