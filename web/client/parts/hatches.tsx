/** The hatchings that all drawings share: where little is left, and where almost nothing is. */
export function Hatches() {
  return (
    <svg class="hatches" width="0" height="0" aria-hidden="true">
      <defs>
        <pattern id="hatch-low" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <rect class="hatch-ground" width="8" height="8" />
          <rect class="hatch-line" width="1.6" height="8" />
        </pattern>
        <pattern id="hatch-end" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <rect class="hatch-ground" width="5" height="5" />
          <rect class="hatch-line" width="2.4" height="5" />
        </pattern>
      </defs>
    </svg>
  );
}
