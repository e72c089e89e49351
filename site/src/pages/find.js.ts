import { bundle } from "../bundle.ts";

export const GET = () => bundle("src/find/find.ts");
