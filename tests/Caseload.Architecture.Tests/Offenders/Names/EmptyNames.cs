namespace Caseload.Architecture.Tests.Offenders.Names;

internal sealed class ChildManager;

internal static class DateHelper;

internal static class DateUtils;

internal abstract class PlantedService<T>;

internal sealed record ChildDto;

internal enum VisitInfo;

internal sealed class Informed;
