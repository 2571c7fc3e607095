// @ts-check
// The park's clock as this device's is set, until somebody sends the form with another.

const zones = document.querySelector('select[name=time_zone]');
if (zones instanceof HTMLSelectElement && !document.querySelector('.refusal')) {
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if ([...zones.options].some(({ value }) => value === here)) zones.value = here;
}
