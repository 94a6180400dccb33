/** What the page of an acknowledging link shows. Texts are plain: they are escaped here. */
export interface AckPage {
  readonly site: string;
  readonly title: string;
  /** The alarm: a name and what is said of it, in order. */
  readonly facts: readonly { readonly name: string; readonly text: string }[];
  /** How it stands, or what has just happened. */
  readonly verdict: string;
  /** What is written on the button; without one there is none. */
  readonly button?: string;
  /** Shown under it; nothing where no alarm is named. */
  readonly cautions: readonly string[];
}

/** Where the style of the page is: the content policy takes none that is written into it. */
export const ACK_STYLE_PATH = '/ack.css';

/** The page as HTML: no script, nothing from elsewhere, and its one form goes back to its own address. */
export function ackPageHtml({ site, title, facts, verdict, button, cautions }: AckPage): string {
  const list = facts.map(({ name, text }) => `<dt>${escaped(name)}</dt><dd>${escaped(text)}</dd>`).join('');
  const form = button === undefined ? '' : `<form method="post"><button type="submit">${escaped(button)}</button></form>`;
  const notes = cautions.map((text) => `<li>${escaped(text)}</li>`).join('');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="robots" content="noindex">
<title>${escaped(title)}</title>
<link rel="stylesheet" href="${ACK_STYLE_PATH}">
</head>
<body>
<main>
<p class="site">${escaped(site)}</p>
<h1>${escaped(title)}</h1>
${list === '' ? '' : `<dl>${list}</dl>`}
<p class="verdict" role="status">${escaped(verdict)}</p>
${form}
${notes === '' ? '' : `<ul class="cautions">${notes}</ul>`}
<p class="foot">Takeline is not a safety device and stops nothing. This page signs nobody in.</p>
</main>
</body>
</html>
`;
}

/** The style of the page: as wide as a phone, light or dark as the phone is. */
export const ACK_STYLE = `:root { color-scheme: light dark; --ground: #e6e9ea; --sheet: #f5f6f6; --ink: #171d20; --ink-2: #49545a; --line: #c4cace; }
@media (prefers-color-scheme: dark) {
  :root { --ground: #0e1214; --sheet: #171c1f; --ink: #e6eaec; --ink-2: #a2adb3; --line: #30393e; }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--ground); color: var(--ink); font: 17px/1.4 system-ui, sans-serif; overflow-wrap: anywhere; }
main { max-width: 36rem; margin: 0 auto; padding: 1rem; }
h1 { margin: 0.25rem 0 1rem; font-size: 1.4rem; line-height: 1.2; }
.site, .foot, dt { color: var(--ink-2); }
.site, .foot { font-size: 0.9rem; }
dl { margin: 0 0 1rem; padding: 0.25rem 1rem; background: var(--sheet); }
dt { padding-top: 0.5rem; font-size: 0.9rem; }
dd { margin: 0; padding-bottom: 0.5rem; border-bottom: 1px solid var(--line); }
dd:last-child { border: 0; }
.verdict { font-size: 1.1rem; font-weight: 600; }
button { width: 100%; min-height: 3.25rem; border: 2px solid var(--ink); border-radius: 4px; background: var(--ink); color: var(--ground); font: inherit; font-weight: 600; }
button:focus-visible { outline: 3px solid #0b57a4; outline-offset: 3px; }
.cautions { margin: 1.25rem 0; padding: 0 0 0 1.2rem; }
.cautions li { margin-bottom: 0.375rem; }
`;

const ESCAPES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => ESCAPES[sign] ?? sign);
}
