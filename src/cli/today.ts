/** Today where the person is, or the day of SOURCE_DATE_EPOCH (reproducible-builds.org), as an ISO date. */
export function today(): string {
  const epoch = Number(process.env["SOURCE_DATE_EPOCH"] ?? NaN);
  if (Number.isSafeInteger(epoch)) return new Date(epoch * 1000).toISOString().slice(0, 10);
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}
