/** What is said where the browser lacks what the desk needs. */
export function sayTooOld(): void {
  const progress = document.querySelector("#progress")!;
  progress.className = "problem";
  progress.textContent =
    "This browser is too old for this page. Open it with a current Firefox, Chrome, Edge or Safari.";
}
