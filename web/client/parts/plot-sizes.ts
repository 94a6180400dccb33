/** Left of every chart's plot, so that what stands above and below it shares its time axis; px. */
export const PLOT_LEFT_PX = 64;
/** Right of it: half of a label's width. */
export const PLOT_RIGHT_PX = 16;
